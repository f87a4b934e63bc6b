#include "app/fit/nearest_turn.h"

#include <algorithm>
#include <cmath>

#include "vision/geometry.h"

namespace app {
namespace {

constexpr double kSlack_mm = 0.4 * kTouch_mm;
constexpr int kMostSteps = 5000;

// The first turn in one direction, at most `most`.
std::optional<double> first_turn(const Room& room, const std::vector<cv::Point2d>& hull, double rotation,
                                 cv::Point2d centre, int direction, double most) {
  double turn = 0.0;
  for (int i = 0; i < kMostSteps && turn <= most; ++i) {
    const double now = rotation + direction * turn;
    const std::vector<cv::Point2d> points = turned(hull, now);
    const auto worst = room.furthest(points, centre);
    if (!worst) return std::nullopt;
    const cv::Point2d p = points[*worst] + centre;
    if (!(room.outside_mm(p) > 2.0 * kSlack_mm)) return turn;
    Wave outside = Contact{room.cut(p), hull[*worst]}.broken_by(centre);
    outside.level -= kSlack_mm;
    // By less than this no vertex moves as far as counts.
    const double least = 0.1 * kTouch_mm / std::max(1e-3, std::hypot(hull[*worst].x, hull[*worst].y));
    turn += std::max(least, way_down_rad(outside, now, direction));
  }
  return std::nullopt;
}

}  // namespace

std::optional<double> nearest_turn(const Room& room, const std::vector<cv::Point2d>& hull, double rotation,
                                   cv::Point2d centre) {
  const std::optional<double> left = first_turn(room, hull, rotation, centre, 1, vision::kPi);
  const std::optional<double> right = first_turn(room, hull, rotation, centre, -1, left.value_or(vision::kPi));
  if (!right) return left;
  return !left || *right < *left ? -*right : *left;
}

}  // namespace app
