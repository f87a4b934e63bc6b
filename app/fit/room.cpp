#include "app/fit/room.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace app {

Room::Room(const Field& field, double clearance_mm) : field_(field), clearance_mm_(clearance_mm) {
  empty_ = !(std::min(field.size_mm.width, field.size_mm.height) / 2.0 > clearance_mm - kTouch_mm);
  oval_ = field.shape == Field::Shape::oval;
  if (oval_ || empty_) return;
  // A rectangle less a margin is again one, with corners of so much smaller a radius.
  const double corner = field.shape == Field::Shape::rounded_rectangle ? field.corner_mm : 0.0;
  field_.corner_mm = std::max(0.0, corner - clearance_mm);
  field_.shape = Field::Shape::rounded_rectangle;
  field_.size_mm = {std::max(0.0, field.size_mm.width - 2.0 * clearance_mm),
                    std::max(0.0, field.size_mm.height - 2.0 * clearance_mm)};
  clearance_mm_ = 0.0;
}

std::pair<double, cv::Point2d> Room::outside_and_normal(cv::Point2d p) const {
  const EdgeDistance edge = edge_distance(field_, p);
  return {clearance_mm_ - edge.inside_mm, edge.outward};
}

HalfPlane Room::cut(cv::Point2d p) const {
  // The distance is convex, so its tangent plane at p lies below it: where that is above 0 the room is not.
  const auto [outside, normal] = outside_and_normal(p);
  return {normal, normal.dot(p) - outside};
}

HalfPlane Room::tangent(cv::Point2d n) const {
  const double a = field_.size_mm.width / 2.0, b = field_.size_mm.height / 2.0;
  if (oval_) return {n, std::hypot(a * n.x, b * n.y) - clearance_mm_};
  const double r = field_.corner_mm;
  return {n, (a - r) * std::abs(n.x) + (b - r) * std::abs(n.y) + r};
}

double Room::at_most_outside_mm(cv::Point2d p) const {
  const double a = field_.size_mm.width / 2.0, b = field_.size_mm.height / 2.0;
  // Shrunk onto the point, an oval keeps its shape and stays off the edge by no less than its share of the short axis.
  const double over = std::hypot(p.x / a, p.y / b) - 1.0;
  return clearance_mm_ + over * (over > 0.0 ? std::max(a, b) : std::min(a, b));
}

std::optional<std::size_t> Room::furthest(const std::vector<cv::Point2d>& points, cv::Point2d moved_by) const {
  std::optional<std::size_t> index;
  double most = -std::numeric_limits<double>::infinity();
  const auto look = [&](std::size_t i) {
    const double outside = outside_mm(points[i] + moved_by);
    if (!(outside > most)) return;
    most = outside;
    index = i;
  };
  if (!oval_) {
    for (std::size_t i = 0; i < points.size(); ++i) look(i);
    return index;
  }
  // The exact distance to an oval is dear: only where the quick bound leaves a doubt, the likeliest first.
  std::size_t likely = 0;
  double bound = -std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < points.size(); ++i)
    if (const double at_most = at_most_outside_mm(points[i] + moved_by); at_most > bound) bound = at_most, likely = i;
  if (points.empty()) return index;
  look(likely);
  for (std::size_t i = 0; i < points.size(); ++i)
    if (i != likely && at_most_outside_mm(points[i] + moved_by) > most) look(i);
  return index;
}

}  // namespace app
