#include "app/render/setup_pages.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "app/render/printed.h"
#include "calib/chart.h"
#include "calib/proof_sheet.h"

namespace app {
namespace {

constexpr int kPxPerMm = 12;
const cv::Size kA4Mm(210, 297);

// Whether there is ink at p, mm from the chart's centre.
bool chart_has_ink(cv::Point2d p) {
  const double column = p.x / calib::kChartSquareMm + calib::kChartColumns / 2.0;
  const double row = calib::kChartRows / 2.0 - p.y / calib::kChartSquareMm;
  if (!(column >= 0.0 && column < calib::kChartColumns && row >= 0.0 && row < calib::kChartRows)) return false;
  const int r = static_cast<int>(row), c = static_cast<int>(column);
  if ((r + c) % 2 == 0) return true;
  const double module = calib::kChartMarkerMm / calib::kChartMarkerModules;
  const double margin = (calib::kChartSquareMm - calib::kChartMarkerMm) / 2.0;
  const double x = ((column - c) * calib::kChartSquareMm - margin) / module;
  const double y = ((row - r) * calib::kChartSquareMm - margin) / module;
  if (!(x >= 0.0 && x < calib::kChartMarkerModules && y >= 0.0 && y < calib::kChartMarkerModules)) return false;
  const int id = (r * calib::kChartColumns + c) / 2;
  return !calib::chart_marker_module_is_white(id, static_cast<int>(y), static_cast<int>(x));
}

double rounded_rectangle_distance(cv::Point2d p, double width, double height, double radius) {
  const double x = std::abs(p.x) - (width / 2.0 - radius), y = std::abs(p.y) - (height / 2.0 - radius);
  return std::hypot(std::max(x, 0.0), std::max(y, 0.0)) + std::min(std::max(x, y), 0.0) - radius;
}

bool in_triangle(const std::array<cv::Point2d, 3>& triangle, cv::Point2d p) {
  int left = 0;
  for (std::size_t i = 0; i < 3; ++i)
    left += (triangle[(i + 1) % 3] - triangle[i]).cross(p - triangle[i]) > 0.0 ? 1 : 0;
  return left == 0 || left == 3;
}

bool proof_has_ink(cv::Point2d p) {
  using namespace calib;
  const double inside = rounded_rectangle_distance(p, kProofInnerWidthMm, kProofInnerHeightMm, kProofInnerRadiusMm);
  const double outside =
      rounded_rectangle_distance(p, kProofInnerWidthMm + 2.0 * kProofRimMm, kProofInnerHeightMm + 2.0 * kProofRimMm,
                                 kProofInnerRadiusMm + kProofRimMm);
  if (inside > 0.0 && outside < 0.0) {
    static const auto kNotches = proof_notches();
    return std::none_of(kNotches.begin(), kNotches.end(), [&](const auto& notch) { return in_triangle(notch, p); });
  }
  for (const ProofSticker& sticker : kProofStickers) {
    const cv::Point2d q = vision::apply_inverse(proof_pose(sticker), p);
    if (std::abs(q.x) < kStickerSideMm / 2.0 && std::abs(q.y) < kStickerSideMm / 2.0)
      return sticker_has_ink(sticker.number, cv::Point2f(q));
  }
  return false;
}

template <class HasInk>
std::shared_ptr<const PrintedPage> drawn(cv::Size paper_mm, double print_scale, HasInk has_ink) {
  PrintedPage page{cv::Mat1b(paper_mm * kPxPerMm, 255), kPxPerMm / print_scale};
  for (int y = 0; y < page.picture.rows; ++y)
    for (int x = 0; x < page.picture.cols; ++x)
      if (has_ink({(x + 0.5) / kPxPerMm - paper_mm.width / 2.0, paper_mm.height / 2.0 - (y + 0.5) / kPxPerMm}))
        page.picture(y, x) = 0;
  return std::make_shared<const PrintedPage>(std::move(page));
}

}  // namespace

ScenePage setup_page(SetupScript script, std::shared_ptr<const PrintedPage> page, double print_scale) {
  ScenePage sheet{std::move(page), {}, {}};
  if (script != SetupScript::proof) return sheet;
  const double width = calib::kProofCutWidthMm * print_scale, height = calib::kProofCutHeightMm * print_scale;
  sheet.cut_mm = {-width / 2.0, -height / 2.0, width, height};
  return sheet;
}

ScenePage setup_page(SetupScript script, double print_scale) {
  const bool proof = script == SetupScript::proof;
  return setup_page(
      script,
      proof ? drawn(kA4Mm, print_scale, proof_has_ink) : drawn({kA4Mm.height, kA4Mm.width}, print_scale, chart_has_ink),
      print_scale);
}

}  // namespace app
