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

// With Q(p) = (x / a)^2 + (y / b)^2, whose edge is 1, a step s from p changes Q by no more than 2 s |grad| + (s / b)^2
// for grad = (x / a^2, y / b^2) and b the shorter half axis; straight against grad it falls by no less than
// 2 s |grad| - (s / b)^2. The s that makes up for 1 - Q bounds the distance.
double Room::at_most_outside_mm(cv::Point2d p) const {
  const double a = field_.size_mm.width / 2.0, b = field_.size_mm.height / 2.0, least = std::min(a, b);
  const double x = p.x / a, y = p.y / b, missing = 1.0 - (x * x + y * y);
  const double slope2 = x * x / (a * a) + y * y / (b * b), under_root = slope2 + missing / (least * least);
  if (under_root < 0.0) return clearance_mm_ + std::max(a, b) * (std::sqrt(1.0 - missing) - 1.0);
  return clearance_mm_ - missing / (std::sqrt(slope2) + std::sqrt(under_root));
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
  if (points.empty()) return index;
  // The exact distance to an oval is dear: the likeliest first, then only where two bounds in turn leave a doubt.
  // Shrunk onto a point an oval stays off its edge by no less than that share of the shorter half axis; blown up, by no
  // more than that of the longer one.
  const double per_x2 = 4.0 / (field_.size_mm.width * field_.size_mm.width);
  const double per_y2 = 4.0 / (field_.size_mm.height * field_.size_mm.height);
  const auto share2 = [&](std::size_t i) {
    const double x = points[i].x + moved_by.x, y = points[i].y + moved_by.y;
    return per_x2 * x * x + per_y2 * y * y;
  };
  std::size_t likely = 0;
  double largest = -1.0;
  for (std::size_t i = 0; i < points.size(); ++i)
    if (const double share = share2(i); share > largest) largest = share, likely = i;
  look(likely);
  const auto of_doubt = [&] {
    const double over = most - clearance_mm_;
    const double share = std::max(0.0, 1.0 + 2.0 * over /
                                                 (over > 0.0 ? std::max(field_.size_mm.width, field_.size_mm.height)
                                                             : std::min(field_.size_mm.width, field_.size_mm.height)));
    return share * share;
  };
  double doubt = of_doubt();
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (i == likely || share2(i) <= doubt || at_most_outside_mm(points[i] + moved_by) <= most) continue;
    look(i);
    doubt = of_doubt();
  }
  return index;
}

}  // namespace app
