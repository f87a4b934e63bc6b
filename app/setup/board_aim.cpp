#include "app/setup/board_aim.h"

#include <algorithm>
#include <array>
#include <opencv2/imgproc.hpp>

namespace app {
namespace {

// Off the middle of the marks, mm and deg: to all sides, turned a little, by a quarter, by half.
struct Place {
  double x_mm, y_mm, angle_deg;
};
constexpr std::array<Place, 6> kPlaces{
    {{0, 0, 0}, {28, 28, -8}, {-28, -28, 10}, {-60, 0, 90}, {20, -25, 180}, {60, 0, -90}}};
// Of the paper around the pattern, and of a mark's paper around its black square.
constexpr double kMarginMm = 18.0, kMarkMarginMm = 8.0;

std::vector<cv::Point2f> square(const vision::BoardMark& mark, double print_scale) {
  const double half = 0.5 * mark.size_mm * print_scale + kMarkMarginMm;
  std::vector<cv::Point2f> out;
  for (const cv::Point2d& p : {cv::Point2d(-half, -half), {half, -half}, {half, half}, {-half, half}})
    out.emplace_back(vision::apply({{mark.x_mm, mark.y_mm}, mark.angle_deg * vision::kRadPerDeg}, p));
  return out;
}

std::vector<cv::Point2d> sheet_on_board(const vision::Pose2& pose, double print_scale) {
  const double x = 0.5 * calib::kChartColumns * calib::kChartSquareMm * print_scale + kMarginMm;
  const double y = 0.5 * calib::kChartRows * calib::kChartSquareMm * print_scale + kMarginMm;
  std::vector<cv::Point2d> out;
  for (const cv::Point2d& p : {cv::Point2d(-x, -y), {x, -y}, {x, y}, {-x, y}}) out.push_back(vision::apply(pose, p));
  return out;
}

bool covers_a_mark(const std::vector<cv::Point2d>& sheet, const calib::BoardSurvey& survey, double print_scale) {
  const std::vector<cv::Point2f> area(sheet.begin(), sheet.end());
  std::vector<cv::Point2f> common;
  return std::any_of(survey.marks.begin(), survey.marks.end(), [&](const calib::SurveyedMark& mark) {
    return cv::intersectConvexConvex(area, square(mark.mark, print_scale), common) > 0.0F;
  });
}

}  // namespace

std::vector<cv::Point2d> next_sheet_outline(const calib::BoardSurvey& survey, const vision::Lens& lens,
                                            double print_scale, int taken) {
  cv::Point2d middle;
  for (const calib::SurveyedMark& mark : survey.marks)
    middle += cv::Point2d(mark.mark.x_mm, mark.mark.y_mm) * (1.0 / static_cast<double>(survey.marks.size()));
  const cv::Rect2d frame(0.0, 0.0, lens.width_px, lens.height_px);
  for (std::size_t i = 0; i < kPlaces.size(); ++i) {
    const Place& place = kPlaces[(static_cast<std::size_t>(taken) + i) % kPlaces.size()];
    // Nearer to the middle where the wanted place is not free.
    for (const double share : {1.0, 0.7, 0.4}) {
      const vision::Pose2 pose{middle + share * cv::Point2d(place.x_mm, place.y_mm),
                               place.angle_deg * vision::kRadPerDeg};
      const std::vector<cv::Point2d> sheet = sheet_on_board(pose, print_scale);
      if (covers_a_mark(sheet, survey, print_scale)) continue;
      std::vector<cv::Point2d> outline;
      for (const cv::Point2d& p : sheet)
        outline.push_back(vision::image_from_board(lens, survey.camera_from_board, {p.x, p.y, 0.0}));
      if (std::all_of(outline.begin(), outline.end(), [&](cv::Point2d p) { return frame.contains(p); })) return outline;
    }
  }
  return {};
}

}  // namespace app
