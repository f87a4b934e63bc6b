#include "app/fit/field.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "app/fit/ellipse.h"
#include "vision/geometry.h"

namespace app {
namespace {

double sign_of(double v) { return std::copysign(1.0, v); }

EdgeDistance to_rectangle(cv::Size2d half, double corner, cv::Point2d p) {
  // From the rectangle of the corners' centres, in the first quadrant.
  const cv::Point2d over(std::abs(p.x) - (half.width - corner), std::abs(p.y) - (half.height - corner));
  const cv::Point2d sign(sign_of(p.x), sign_of(p.y));
  EdgeDistance found;
  if (over.x > 0.0 && over.y > 0.0) {
    const double length = std::hypot(over.x, over.y);
    found.inside_mm = corner - length;
    found.outward = {sign.x * over.x / length, sign.y * over.y / length};
    found.on_edge_mm = p + found.inside_mm * found.outward;
    return found;
  }
  const bool at_side = half.width - std::abs(p.x) <= half.height - std::abs(p.y);
  found.inside_mm = at_side ? half.width - std::abs(p.x) : half.height - std::abs(p.y);
  found.outward = at_side ? cv::Point2d(sign.x, 0.0) : cv::Point2d(0.0, sign.y);
  found.on_edge_mm = at_side ? cv::Point2d(sign.x * half.width, p.y) : cv::Point2d(p.x, sign.y * half.height);
  return found;
}

EdgeDistance to_oval(cv::Size2d half, cv::Point2d p) {
  EdgeDistance found;
  if (half.width == half.height) {
    const double length = std::hypot(p.x, p.y);
    found.outward = length > 0.0 ? p / length : cv::Point2d(1.0, 0.0);
    found.inside_mm = half.width - length;
    found.on_edge_mm = half.width * found.outward;
    return found;
  }
  found.on_edge_mm = nearest_on_ellipse(half, p);
  const cv::Point2d gradient(found.on_edge_mm.x / (half.width * half.width),
                             found.on_edge_mm.y / (half.height * half.height));
  found.outward = gradient / std::hypot(gradient.x, gradient.y);
  // Along the normal, which keeps its sign through the edge.
  found.inside_mm = (found.on_edge_mm - p).dot(found.outward);
  return found;
}

cv::Size2d half_of(const Field& field) { return {field.size_mm.width / 2.0, field.size_mm.height / 2.0}; }

double corner_of(const Field& field) { return field.shape == Field::Shape::rounded_rectangle ? field.corner_mm : 0.0; }

// An arc from angle to angle, counter-clockwise, both ends included.
void add_arc(std::vector<cv::Point2d>& points, cv::Point2d centre, double radius, double from_rad, int steps) {
  for (int i = 0; i <= steps; ++i) {
    const double a = from_rad + i * vision::kPi / 2.0 / steps;
    points.push_back(centre + radius * cv::Point2d(std::cos(a), std::sin(a)));
  }
}

std::vector<cv::Point2d> rectangle_outline(cv::Size2d half, double corner, double margin) {
  const double x = half.width - std::max(corner, margin), y = half.height - std::max(corner, margin);
  if (!(x >= 0.0 && y >= 0.0)) return {};
  const std::array<cv::Point2d, 4> centres{{{x, y}, {-x, y}, {-x, -y}, {x, -y}}};
  const double radius = std::max(0.0, corner - margin);
  std::vector<cv::Point2d> points;
  for (std::size_t i = 0; i < 4; ++i) {
    if (radius > 0.0)
      add_arc(points, centres[i], radius, static_cast<double>(i) * vision::kPi / 2.0, 12);
    else
      points.push_back(centres[i]);
  }
  return points;
}

// Inwards along the normals; where the curve would fold over itself, its points lie nearer to the edge than the margin
// and are left out.
std::vector<cv::Point2d> oval_outline(cv::Size2d half, double margin) {
  constexpr int kSteps = 144;
  std::vector<cv::Point2d> points;
  if (!(std::min(half.width, half.height) > margin)) return points;
  for (int i = 0; i < kSteps; ++i) {
    const double a = 2.0 * vision::kPi * i / kSteps;
    const cv::Point2d on(half.width * std::cos(a), half.height * std::sin(a));
    const cv::Point2d gradient(std::cos(a) / half.width, std::sin(a) / half.height);
    const cv::Point2d p = on - margin / std::hypot(gradient.x, gradient.y) * gradient;
    if (to_oval(half, p).inside_mm >= margin - 1e-6) points.push_back(p);
  }
  return points;
}

}  // namespace

Field field_of(const vision::Hoop& hoop) {
  Field field;
  field.size_mm = hoop.field_mm;
  if (hoop.field_is_round) {
    field.shape = Field::Shape::oval;
  } else if (hoop.field_corner_mm > 0.0) {
    field.shape = Field::Shape::rounded_rectangle;
    field.corner_mm = hoop.field_corner_mm;
  }
  return field;
}

bool is_usable(const Field& field) {
  const double least = std::min(field.size_mm.width, field.size_mm.height);
  if (!(least > 0.0) || !std::isfinite(field.size_mm.width) || !std::isfinite(field.size_mm.height)) return false;
  const double corner = corner_of(field);
  return corner >= 0.0 && 2.0 * corner <= least;
}

EdgeDistance edge_distance(const Field& field, cv::Point2d p) {
  if (field.shape == Field::Shape::oval) return to_oval(half_of(field), p);
  return to_rectangle(half_of(field), corner_of(field), p);
}

std::vector<cv::Point2d> field_outline(const Field& field, double step_mm, double margin_mm) {
  if (!is_usable(field) || !(margin_mm >= 0.0)) return {};
  const std::vector<cv::Point2d> corners = field.shape == Field::Shape::oval
                                               ? oval_outline(half_of(field), margin_mm)
                                               : rectangle_outline(half_of(field), corner_of(field), margin_mm);
  if (!(step_mm > 0.0)) return corners;
  std::vector<cv::Point2d> points;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const cv::Point2d from = corners[i], way = corners[(i + 1) % corners.size()] - from;
    const int steps = std::max(1, static_cast<int>(std::ceil(std::hypot(way.x, way.y) / step_mm)));
    for (int k = 0; k < steps; ++k) points.push_back(from + static_cast<double>(k) / steps * way);
  }
  return points;
}

}  // namespace app
