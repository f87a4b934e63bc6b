#include "calib/outline_shapes.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "vision/geometry.h"

namespace calib {
namespace {

constexpr double kStepMm = 0.5;

}  // namespace

std::vector<cv::Point2d> rounded_rectangle(double width_mm, double height_mm, double radius_mm) {
  std::vector<cv::Point2d> outline;
  const double x = width_mm / 2.0 - radius_mm, y = height_mm / 2.0 - radius_mm;
  const int steps = std::max(4, static_cast<int>(radius_mm * vision::kPi / 2.0 / kStepMm));
  const std::array<cv::Point2d, 4> centres{{{x, y}, {-x, y}, {-x, -y}, {x, -y}}};
  for (std::size_t corner = 0; corner < 4; ++corner)
    for (int i = 0; i <= steps; ++i) {
      const double angle = vision::kPi / 2.0 * (static_cast<double>(corner) + static_cast<double>(i) / steps);
      outline.push_back(centres[corner] + radius_mm * cv::Point2d(std::cos(angle), std::sin(angle)));
    }
  return outline;
}

std::vector<cv::Point2d> ellipse_outline(double half_width_mm, double half_height_mm) {
  std::vector<cv::Point2d> outline;
  const int steps = static_cast<int>(2.0 * vision::kPi * std::max(half_width_mm, half_height_mm) / kStepMm);
  for (int i = 0; i < steps; ++i) {
    const double angle = 2.0 * vision::kPi * i / steps;
    outline.emplace_back(half_width_mm * std::cos(angle), half_height_mm * std::sin(angle));
  }
  return outline;
}

}  // namespace calib
