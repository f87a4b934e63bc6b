#include "calib/chart_finder.h"

#include <algorithm>
#include <cmath>
#include <opencv2/calib3d.hpp>
#include <optional>

#include "calib/chart_markers.h"
#include "calib/corner_fit.h"

namespace calib {
namespace {

// A marker's corner may lie so far from one plane seen without distortion, in squares; a misread one lies further.
constexpr double kAgreeSquares = 0.25;
// Markers that predict a corner: the nearest, so that the lens bends little between them.
constexpr std::size_t kPredictBy = 4;
// The next edges stand off a corner as far as a marker does from its square's side.
constexpr double kReachMm = 0.5 * (kChartSquareMm - kChartMarkerMm);

// Order as in ChartMarker.
std::array<cv::Point2d, 4> marker_corners_mm(int id) {
  const cv::Point2d centre = chart_marker_mm(id);
  constexpr double kHalf = 0.5 * kChartMarkerMm;
  return {centre + cv::Point2d(-kHalf, kHalf), centre + cv::Point2d(kHalf, kHalf), centre + cv::Point2d(kHalf, -kHalf),
          centre + cv::Point2d(-kHalf, -kHalf)};
}

cv::Point2d seen_at(const cv::Matx33d& image_from_chart, cv::Point2d p_in_chart) {
  const cv::Vec3d p = image_from_chart * cv::Vec3d(p_in_chart.x, p_in_chart.y, 1.0);
  return {p[0] / p[2], p[1] / p[2]};
}

using Markers = std::vector<ChartMarker>;

// Least squares over all corners of these markers, or robust against some of them (threshold_px > 0).
std::optional<cv::Matx33d> homography(const Markers& markers, double threshold_px = 0.0) {
  std::vector<cv::Point2d> in_chart, in_image;
  for (const ChartMarker& marker : markers) {
    const auto corners_mm = marker_corners_mm(marker.id);
    in_chart.insert(in_chart.end(), corners_mm.begin(), corners_mm.end());
    in_image.insert(in_image.end(), marker.corners_px.begin(), marker.corners_px.end());
  }
  const cv::Mat found = threshold_px > 0.0 ? cv::findHomography(in_chart, in_image, cv::RANSAC, threshold_px)
                                           : cv::findHomography(in_chart, in_image);
  if (found.empty() || !cv::checkRange(found)) return std::nullopt;
  return cv::Matx33d(found);
}

double side_px(const ChartMarker& marker) {
  double sum = 0.0;
  for (std::size_t i = 0; i < 4; ++i) sum += cv::norm(marker.corners_px[i] - marker.corners_px[(i + 1) % 4]);
  return 0.25 * sum;
}

// Those that one sheet explains, each once. A marker seen twice (a second sheet, a mirror) counts where it fits.
Markers agreeing(const Markers& seen) {
  if (seen.empty()) return {};
  std::vector<double> sides;
  for (const ChartMarker& marker : seen) sides.push_back(side_px(marker));
  std::nth_element(sides.begin(), sides.begin() + static_cast<std::ptrdiff_t>(sides.size() / 2), sides.end());
  const double square_px = sides[sides.size() / 2] * kChartSquareMm / kChartMarkerMm;
  const std::optional<cv::Matx33d> sheet = homography(seen, kAgreeSquares * square_px);
  if (!sheet) return {};
  Markers kept;
  for (const ChartMarker& marker : seen) {
    const auto corners_mm = marker_corners_mm(marker.id);
    bool agrees = true;
    for (std::size_t i = 0; i < 4; ++i)
      agrees = agrees && cv::norm(seen_at(*sheet, corners_mm[i]) - marker.corners_px[i]) <= kAgreeSquares * square_px;
    const bool again = std::any_of(kept.begin(), kept.end(), [&](const ChartMarker& k) { return k.id == marker.id; });
    if (agrees && !again) kept.push_back(marker);
  }
  return kept;
}

// The map around a corner, by the markers nearest to it; nothing where none touches it.
std::optional<cv::Matx33d> map_around(const Markers& markers, cv::Point2d corner_mm) {
  std::vector<std::pair<double, std::size_t>> by_distance;
  for (std::size_t i = 0; i < markers.size(); ++i)
    by_distance.emplace_back(cv::norm(chart_marker_mm(markers[i].id) - corner_mm), i);
  std::sort(by_distance.begin(), by_distance.end());
  if (by_distance.empty() || by_distance.front().first > 0.8 * kChartSquareMm) return std::nullopt;
  Markers nearest;
  for (std::size_t i = 0; i < std::min(kPredictBy, by_distance.size()); ++i)
    nearest.push_back(markers[by_distance[i].second]);
  return homography(nearest);
}

CornerGuess guess_for(int id, const cv::Matx33d& image_from_chart) {
  const cv::Point2d at_mm = chart_corner_mm(id);
  CornerGuess guess;
  guess.at_px = seen_at(image_from_chart, at_mm);
  const cv::Point2d u = seen_at(image_from_chart, at_mm + cv::Point2d(0.5, 0.0)) -
                        seen_at(image_from_chart, at_mm - cv::Point2d(0.5, 0.0));
  const cv::Point2d v = seen_at(image_from_chart, at_mm + cv::Point2d(0.0, 0.5)) -
                        seen_at(image_from_chart, at_mm - cv::Point2d(0.0, 0.5));
  guess.u_px = {u.x, u.y};
  guess.v_px = {v.x, v.y};
  guess.reach = kReachMm;
  const int column = id % kChartCornerColumns, row = id / kChartCornerColumns;
  guess.white = (column + row) % 2 == 0 ? kWhiteFirst : kBlackFirst;  // the top-left square is black
  return guess;
}

double median(std::vector<double> values) {
  if (values.empty()) return 0.0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

}  // namespace

SeenChart find_chart(const cv::Mat& grey) {
  SeenChart chart;
  const Markers markers = agreeing(find_chart_markers(grey));
  chart.markers = static_cast<int>(markers.size());
  std::vector<double> blurs;
  for (int id = 0; id < kChartCorners; ++id) {
    const std::optional<cv::Matx33d> image_from_chart = map_around(markers, chart_corner_mm(id));
    if (!image_from_chart) continue;
    const std::optional<FittedCorner> corner = fit_corner(grey, guess_for(id, *image_from_chart));
    if (!corner) continue;
    chart.corners.push_back({id, corner->at_px, corner->sigma_px});
    blurs.push_back(corner->blur_px);
  }
  chart.blur_px = median(blurs);
  return chart;
}

}  // namespace calib
