#include "app/render/printed.h"

#include <array>
#include <cmath>
#include <cstdint>

#include "app/sheets/sticker_geometry.h"
#include "vision/tag_family.h"

namespace app {
namespace {

constexpr auto kTagSide = static_cast<float>(vision::kStickerTagSizeMm);
constexpr auto kTagCentre = static_cast<float>(vision::kStickerTagOffsetMm);
constexpr auto kClearRadius = static_cast<float>(kClearRadiusMm), kClearRing = static_cast<float>(kClearRingMm);
constexpr float kNeedleDot = static_cast<float>(kNeedleDotMm), kCrossLine = static_cast<float>(kCrossLineMm);
constexpr float kArrowTip = static_cast<float>(kArrowTipMm), kArrowFoot = static_cast<float>(kArrowFootMm);
constexpr float kArrowSlope = static_cast<float>(kArrowHalfWidthMm / (kArrowTipMm - kArrowFootMm));
const cv::Point2f kNumberTopLeft(static_cast<float>(kNumberLeftMm), static_cast<float>(kNumberTopMm));

// 3 x 5 dots, the top row in the highest bits.
constexpr std::array<std::uint16_t, 10> kDigits{
    0b111101101101111, 0b010110010010111, 0b111001111100111, 0b111001111001111, 0b101101111001001,
    0b111100111001111, 0b111100111101111, 0b111001001001001, 0b111101111101111, 0b111101111001111};
constexpr auto kDotMm = static_cast<float>(kNumberHeightMm / 5.0);

bool number_has_ink(int number, cv::Point2f p, cv::Point2f top_left) {
  const int column = static_cast<int>(std::floor((p.x - top_left.x) / kDotMm));
  const int row = static_cast<int>(std::floor((top_left.y - p.y) / kDotMm));
  if (row < 0 || row >= 5 || column < 0 || column >= 8) return false;
  const bool two_digits = number >= 10;
  const int place = column / 4, in_digit = column % 4;
  if (in_digit == 3 || (place == 1 && !two_digits)) return false;
  const int digit = two_digits && place == 0 ? number / 10 % 10 : number % 10;
  return (kDigits[static_cast<std::size_t>(digit)] >> (14 - row * 3 - in_digit) & 1) != 0;
}

bool cross_has_ink(cv::Point2f p) {
  const float radius = std::sqrt(p.dot(p));
  if (radius < kNeedleDot / 2.0F || std::abs(radius - kClearRadius) < kClearRing / 2.0F) return true;
  if (radius < kClearRadius) return false;
  if (std::abs(p.x) < kCrossLine / 2.0F || std::abs(p.y) < kCrossLine / 2.0F) return true;
  return p.y > kArrowFoot && p.y < kArrowTip && std::abs(p.x) < kArrowSlope * (kArrowTip - p.y);
}

}  // namespace

bool tag_has_ink(int id, float side_mm, cv::Point2f p) {
  const float module = side_mm / static_cast<float>(vision::kTagModulesAcross);
  const float column = (p.x + side_mm / 2.0F) / module, row = (side_mm / 2.0F - p.y) / module;
  const float across = static_cast<float>(vision::kTagModulesAcross);
  if (!(column >= 0.0F && column < across && row >= 0.0F && row < across)) return false;
  return !vision::tag_module_is_white(id, static_cast<int>(row), static_cast<int>(column));
}

bool sticker_has_ink(int number, cv::Point2f p) {
  const bool east = p.x > 0.0F, north = p.y > 0.0F;
  const cv::Point2f in_tag(std::abs(p.x) - kTagCentre, std::abs(p.y) - kTagCentre);
  if (std::abs(in_tag.x) < kTagSide / 2.0F && std::abs(in_tag.y) < kTagSide / 2.0F) {
    const int corner = north ? (east ? 1 : 0) : (east ? 2 : 3);
    const cv::Point2f centre(east ? kTagCentre : -kTagCentre, north ? kTagCentre : -kTagCentre);
    return tag_has_ink(4 * number + corner, kTagSide, p - centre);
  }
  return cross_has_ink(p) || number_has_ink(number, p, kNumberTopLeft);
}

}  // namespace app
