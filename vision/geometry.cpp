#include "vision/geometry.h"

#include <cmath>

namespace vision {

cv::Point2d apply(const Pose2& a_from_b, cv::Point2d p_in_b) {
  const double c = std::cos(a_from_b.angle_rad), s = std::sin(a_from_b.angle_rad);
  return {c * p_in_b.x - s * p_in_b.y + a_from_b.origin_mm.x, s * p_in_b.x + c * p_in_b.y + a_from_b.origin_mm.y};
}

cv::Point2d apply_inverse(const Pose2& a_from_b, cv::Point2d p_in_a) {
  const double c = std::cos(a_from_b.angle_rad), s = std::sin(a_from_b.angle_rad);
  const cv::Point2d d = p_in_a - a_from_b.origin_mm;
  return {c * d.x + s * d.y, -s * d.x + c * d.y};
}

Pose2 compose(const Pose2& a_from_b, const Pose2& b_from_c) {
  return {apply(a_from_b, b_from_c.origin_mm), wrapped_rad(a_from_b.angle_rad + b_from_c.angle_rad)};
}

Pose2 inverse(const Pose2& a_from_b) { return {apply_inverse(a_from_b, {0.0, 0.0}), wrapped_rad(-a_from_b.angle_rad)}; }

double wrapped_rad(double angle_rad) {
  const double wrapped = std::remainder(angle_rad, 2.0 * kPi);
  return wrapped <= -kPi ? wrapped + 2.0 * kPi : wrapped;
}

}  // namespace vision
