#include "app/setup/board_view.h"

#include <algorithm>
#include <opencv2/calib3d.hpp>

namespace app {
namespace {

// Between two frames of a board at rest corners scatter by some hundredths of a pixel.
constexpr double kRestPx = 0.35;

double mark_way_px(const BoardView& a, const BoardView& b) {
  double most = 0.0;
  for (const vision::SeenTag& one : a.marks)
    for (const vision::SeenTag& other : b.marks)
      if (one.id == other.id) most = std::max(most, cv::norm(tag_centre(one) - tag_centre(other)));
  return most;
}

bool same_marks(const BoardView& a, const BoardView& b) {
  return a.marks.size() == b.marks.size() &&
         std::all_of(a.marks.begin(), a.marks.end(), [&](const auto& tag) { return sees_mark(b, tag.id); });
}

}  // namespace

cv::Point2d tag_centre(const vision::SeenTag& tag) {
  return 0.25 * (tag.corners_px[0] + tag.corners_px[1] + tag.corners_px[2] + tag.corners_px[3]);
}

std::vector<int> seen_twice(const BoardView& view) {
  std::vector<int> ids, twice;
  for (const vision::SeenTag& tag : view.marks) ids.push_back(tag.id);
  std::sort(ids.begin(), ids.end());
  for (std::size_t i = 1; i < ids.size(); ++i)
    if (ids[i] == ids[i - 1] && (twice.empty() || twice.back() != ids[i])) twice.push_back(ids[i]);
  return twice;
}

bool sees_mark(const BoardView& view, int id) {
  return std::any_of(view.marks.begin(), view.marks.end(), [id](const auto& tag) { return tag.id == id; });
}

std::vector<cv::Point2d> sheet_outline(const calib::SeenChart& chart, double margin_mm) {
  if (static_cast<int>(chart.corners.size()) < calib::kFewestChartCorners) return {};
  std::vector<cv::Point2d> sheet, seen, outline;
  for (const calib::ChartCorner& corner : chart.corners) {
    sheet.push_back(calib::chart_corner_mm(corner.id));
    seen.push_back(corner.image_px);
  }
  const cv::Mat h = cv::findHomography(sheet, seen, 0);
  if (h.empty()) return {};
  const double x = 0.5 * calib::kChartColumns * calib::kChartSquareMm + margin_mm;
  const double y = 0.5 * calib::kChartRows * calib::kChartSquareMm + margin_mm;
  cv::perspectiveTransform(std::vector<cv::Point2d>{{-x, y}, {x, y}, {x, -y}, {-x, -y}}, outline, h);
  return outline;
}

std::optional<double> sheet_way_px(const calib::SeenChart& a, const calib::SeenChart& b) {
  std::vector<double> ways;
  for (const calib::ChartCorner& one : a.corners)
    for (const calib::ChartCorner& other : b.corners)
      if (one.id == other.id) ways.push_back(cv::norm(one.image_px - other.image_px));
  if (ways.empty()) return std::nullopt;
  std::sort(ways.begin(), ways.end());
  return ways[ways.size() / 2];
}

double RestWatch::update(const BoardView& view, double time_s) {
  const std::optional<double> way = start_ ? sheet_way_px(start_->chart, view.chart) : std::nullopt;
  const bool at_rest = way && *way <= kRestPx && same_marks(*start_, view) && mark_way_px(*start_, view) <= kRestPx;
  if (!at_rest) {
    start_ = view;
    start_s_ = time_s;
  }
  return time_s - start_s_;
}

}  // namespace app
