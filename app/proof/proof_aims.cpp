#include "app/proof/proof_aims.h"

#include <algorithm>
#include <cmath>

#include "calib/proof_sheet.h"

namespace app {
namespace {

// Marks stand on white paper, and a hand lays the sheet to some millimetres.
constexpr double kMarkPaper = 1.3, kHandMm = 6.0;
// Of the way to where the sheet would reach the marks' outermost edges.
constexpr double kOutwards = 0.75;

bool leaves_marks_free(const vision::Station& station, cv::Point2d middle) {
  const double half_width = 0.5 * calib::kProofCutWidthMm * station.print_scale + kHandMm;
  const double half_height = 0.5 * calib::kProofCutHeightMm * station.print_scale + kHandMm;
  return std::none_of(station.board_marks.begin(), station.board_marks.end(), [&](const vision::BoardMark& mark) {
    const double half = 0.5 * kMarkPaper * mark.size_mm;
    return std::abs(mark.x_mm - middle.x) < half_width + half && std::abs(mark.y_mm - middle.y) < half_height + half;
  });
}

struct Room {
  cv::Point2d middle;
  double half_width = 0.0, half_height = 0.0;  // of the sheet's middle
};

Room room_of(const vision::Station& station) {
  double left = 1e9, right = -1e9, low = 1e9, high = -1e9;
  for (const vision::BoardMark& mark : station.board_marks) {
    const double half = 0.5 * mark.size_mm;
    left = std::min(left, mark.x_mm - half), right = std::max(right, mark.x_mm + half);
    low = std::min(low, mark.y_mm - half), high = std::max(high, mark.y_mm + half);
  }
  const double scale = station.print_scale;
  return {{0.5 * (left + right), 0.5 * (low + high)},
          std::max(0.0, 0.5 * (right - left - calib::kProofCutWidthMm * scale)),
          std::max(0.0, 0.5 * (high - low - calib::kProofCutHeightMm * scale))};
}

}  // namespace

std::vector<cv::Point2d> proof_aims(const vision::Station& station, int count) {
  const Room room = room_of(station);
  std::vector<cv::Point2d> aims{room.middle};
  for (int i = 0; i + 1 < count; ++i) {
    const double angle = 2.0 * vision::kPi * (i + 0.5) / (count - 1);
    const cv::Point2d corner(std::clamp(std::sqrt(2.0) * std::cos(angle), -1.0, 1.0) * room.half_width,
                             std::clamp(std::sqrt(2.0) * std::sin(angle), -1.0, 1.0) * room.half_height);
    double share = kOutwards;
    while (share > 0.05 && !leaves_marks_free(station, room.middle + share * corner)) share -= 0.05;
    aims.push_back(room.middle + share * corner);
  }
  return aims;
}

std::vector<cv::Point2d> proof_sheet_outline(const vision::Pose2& board_from_sheet, double print_scale) {
  const double x = 0.5 * calib::kProofCutWidthMm * print_scale, y = 0.5 * calib::kProofCutHeightMm * print_scale;
  std::vector<cv::Point2d> outline;
  for (const cv::Point2d& p : {cv::Point2d(-x, -y), cv::Point2d(x, -y), cv::Point2d(x, y), cv::Point2d(-x, y)})
    outline.push_back(vision::apply(board_from_sheet, p));
  return outline;
}

}  // namespace app
