// The field less the clearance: where the points of a design may lie. Convex.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "app/fit/field.h"

namespace app {

// Lengths nearer than this are the same, mm: far above rounding, far below what anybody measures. What touches fits.
inline constexpr double kTouch_mm = 1e-9;

// All points p with normal . p <= at; the normal has length 1.
struct HalfPlane {
  cv::Point2d normal;
  double at_mm = 0.0;
};

class Room {
 public:
  // A usable field, a clearance of 0 or more.
  Room(const Field& field, double clearance_mm);

  // Whether nothing is left of the field.
  bool empty() const { return empty_; }
  // How far a point is outside, negative inside: a convex function of the point that is 0 at the room's edge. Inside
  // the field it is the distance that is missing to the clearance.
  double outside_mm(cv::Point2d p) const { return outside_and_normal(p).first; }
  // A half plane that holds the whole room and whose edge is as far from p as p is outside.
  HalfPlane cut(cv::Point2d p) const;
  // The half plane with this normal that touches the room, or holds it where the room has no such tangent.
  HalfPlane tangent(cv::Point2d unit_normal) const;
  // The point that is furthest outside: its index; nothing for no points.
  std::optional<std::size_t> furthest(const std::vector<cv::Point2d>& points, cv::Point2d moved_by) const;

 private:
  std::pair<double, cv::Point2d> outside_and_normal(cv::Point2d p) const;
  // Never less than outside_mm, and quick.
  double at_most_outside_mm(cv::Point2d p) const;

  Field field_;
  double clearance_mm_;
  bool empty_ = false;
  bool oval_ = false;
};

}  // namespace app
