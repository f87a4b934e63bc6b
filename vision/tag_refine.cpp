#include "vision/tag_refine.h"

#include <algorithm>
#include <cmath>

#include "vision/tag_family.h"
#include "vision/tag_grid.h"
#include "vision/tag_snap.h"

namespace vision {
namespace {

constexpr int kMostRounds = 3;
// A rough round first, to have the lines and the blur nearly right. Even a large tag needs no more than 64 columns a
// side: they hold it to about a hundredth of a pixel.
constexpr SideFitter::Effort kRough{32, 2, 1}, kFull{64, 2, 1}, kLast{64, 1, 2};
constexpr double kRestPx = 0.05;        // a side that moves less is at rest: what is left is of second order
constexpr double kFurthestPx = 2.5;     // from where the corners were said to be
constexpr double kLeastShare = 0.6;     // of a side's samples
constexpr double kLeastSpan = 0.6;      // of its length
constexpr double kLeastContrast = 0.3;  // of the side with the most
constexpr double kMostSigmaPx = 0.3;

cv::Point2d through_lens(const Lens& lens, cv::Point2d normalised) {
  const cv::Point2d d = distort(lens, normalised);
  return {lens.fx * d.x + lens.cx, lens.fy * d.y + lens.cy};
}

// The bits behind the ring along a side, from its start: the sides go clockwise from the top.
bool white_behind(int id, std::size_t side, int bit) {
  const int forth = 1 + bit, back = kTagBitsAcross - bit;
  switch (side) {
    case 0:
      return tag_module_is_white(id, 1, forth);
    case 1:
      return tag_module_is_white(id, forth, kTagBitsAcross);
    case 2:
      return tag_module_is_white(id, kTagBitsAcross, back);
    default:
      return tag_module_is_white(id, back, 1);
  }
}

bool finite(cv::Point2d p) { return std::isfinite(p.x) && std::isfinite(p.y); }

}  // namespace

std::optional<SeenTag> TagRefiner::refine(const cv::Mat& grey, const Quad& corners_px, int id) {
  corners_px_ = corners_px;
  for (std::size_t i = 0; i < 4; ++i) {
    corners_[i] = undistort(lens_, corners_px[i]);
    if (!finite(corners_[i])) return std::nullopt;
  }
  const cv::Point2d middle = (corners_px[0] + corners_px[1] + corners_px[2] + corners_px[3]) * 0.25;
  const cv::Point2d at = undistort(lens_, middle);
  const cv::Point2d dx = undistort(lens_, middle + cv::Point2d{1.0, 0.0}) - at;
  const cv::Point2d dy = undistort(lens_, middle + cv::Point2d{0.0, 1.0}) - at;
  normalised_per_px_ = {dx.x, dy.x, dx.y, dy.y};
  sides_.fill({});
  furthest_px_ = 1e9;
  bend_ = 0.0;
  if (!fit_sides(grey, id, kRough) || !move_corners()) return std::nullopt;
  if (const auto spread_px = white_spread_px(grey, corners_px_, id, blur_px(), bend_)) {
    bend_ = bend_of_spread(*spread_px, blur_px());
    grow(*spread_px);
  }
  for (int round = 0; round < kMostRounds && !(furthest_px_ <= kRestPx && round > 0); ++round)
    if (!fit_sides(grey, id, round == 0 ? kFull : kLast) || !move_corners()) return std::nullopt;
  for (std::size_t i = 0; i < 4; ++i)
    if (!(cv::norm(corners_px_[i] - corners_px[i]) <= kFurthestPx)) return std::nullopt;
  if (!acceptable()) return std::nullopt;
  const auto spread_px = white_spread_px(grey, corners_px_, id, blur_px(), bend_);
  if (!spread_px) return std::nullopt;
  grow(*spread_px);
  SeenTag tag;
  tag.id = id;
  tag.corners_normalised = corners_;
  tag.corners_px = corners_px_;
  tag.sigma_px = corner_sigma_px();
  for (const SideFit& side : sides_) tag.side_samples += side.samples;
  return tag;
}

bool TagRefiner::fit_sides(const cv::Mat& grey, int id, SideFitter::Effort effort) {
  for (std::size_t i = 0; i < 4; ++i) {
    const std::size_t next = (i + 1) % 4;
    const double across =
        cv::norm(corners_px_[(i + 3) % 4] - corners_px_[i]) + cv::norm(corners_px_[(i + 2) % 4] - corners_px_[next]);
    SideLine line{corners_[i], corners_[next], corners_px_[i], corners_px_[next], across / (2.0 * kTagModulesAcross),
                  {}};
    for (int j = 0; j < kTagBitsAcross; ++j) line.white_inside[static_cast<std::size_t>(j)] = white_behind(id, i, j);
    const double blur_px = sides_[i].blur_px > 0.0 ? sides_[i].blur_px : std::min(1.1, 0.4 * line.module_px);
    if (!fitter_.fit(grey, lens_, line, {blur_px, bend_}, effort, sides_[i])) return false;
  }
  return true;
}

// Each side moves by its offsets along its normal; the corners are where they then cross.
bool TagRefiner::move_corners() {
  std::array<std::array<cv::Point2d, 2>, 4> moved;
  furthest_px_ = 0.0;
  for (std::size_t i = 0; i < 4; ++i) {
    const std::size_t next = (i + 1) % 4;
    const cv::Point2d chord = corners_px_[next] - corners_px_[i];
    const cv::Vec2d out = cv::Vec2d(chord.y, -chord.x) / cv::norm(chord);
    const cv::Vec2d start = normalised_per_px_ * (out * sides_[i].offset_start_px);
    const cv::Vec2d end = normalised_per_px_ * (out * sides_[i].offset_end_px);
    moved[i] = {corners_[i] + cv::Point2d(start), corners_[next] + cv::Point2d(end)};
    furthest_px_ = std::max({furthest_px_, std::abs(sides_[i].offset_start_px), std::abs(sides_[i].offset_end_px)});
  }
  for (std::size_t i = 0; i < 4; ++i) {
    const auto& before = moved[(i + 3) % 4];
    corners_[i] = line_crossing(before[0], before[1], moved[i][0], moved[i][1]);
    if (!finite(corners_[i])) return false;
    corners_px_[i] = through_lens(lens_, corners_[i]);
  }
  return true;
}

// Moves every side outward by as much.
void TagRefiner::grow(double px) {
  for (SideFit& side : sides_) side.offset_start_px = side.offset_end_px = px;
  move_corners();
}

double TagRefiner::blur_px() const {
  return 0.25 * (sides_[0].blur_px + sides_[1].blur_px + sides_[2].blur_px + sides_[3].blur_px);
}

bool TagRefiner::acceptable() const {
  double most = 0.0;
  for (const SideFit& side : sides_) most = std::max(most, side.contrast);
  return corner_sigma_px() <= kMostSigmaPx && std::all_of(sides_.begin(), sides_.end(), [&](const SideFit& side) {
           return side.share >= kLeastShare && side.span >= kLeastSpan && side.contrast >= kLeastContrast * most;
         });
}

// Root mean square over the corners and the two axes. A corner's error along one side's normal is that side's alone;
// where the sides do not cross at right angles it grows.
double TagRefiner::corner_sigma_px() const {
  double sum = 0.0;
  for (std::size_t i = 0; i < 4; ++i) {
    const cv::Point2d a = corners_px_[i] - corners_px_[(i + 3) % 4], b = corners_px_[(i + 1) % 4] - corners_px_[i];
    const double sine = a.cross(b) / (cv::norm(a) * cv::norm(b));
    const double before = sides_[(i + 3) % 4].sigma_end_px, after = sides_[i].sigma_start_px;
    sum += (before * before + after * after) / std::max(sine * sine, 1e-6);
  }
  return std::sqrt(sum / 8.0);
}

}  // namespace vision
