// Planar poses and the small vocabulary that every part of the room shares.
// Lengths in mm; angles in degrees at interfaces, in radians where the name ends in _rad.
#pragma once

#include <opencv2/core.hpp>

namespace vision {

inline constexpr double kPi = 3.14159265358979323846;
inline constexpr double kRadPerDeg = kPi / 180.0;
inline constexpr double kDegPerRad = 180.0 / kPi;

// A rigid motion of the plane: p_in_a = R(angle_rad) * p_in_b + origin_mm, for a pose named `a_from_b`.
// Counter-clockwise positive, seen from the camera.
struct Pose2 {
  cv::Point2d origin_mm{0.0, 0.0};
  double angle_rad = 0.0;
};

// Covariance of (x mm, y mm, angle rad) of a Pose2.
using Covariance3 = cv::Matx33d;

// p_in_a for p_in_b.
cv::Point2d apply(const Pose2& a_from_b, cv::Point2d p_in_b);
// p_in_b for p_in_a.
cv::Point2d apply_inverse(const Pose2& a_from_b, cv::Point2d p_in_a);
// a_from_c.
Pose2 compose(const Pose2& a_from_b, const Pose2& b_from_c);
// b_from_a.
Pose2 inverse(const Pose2& a_from_b);

// The same angle in (-pi, pi].
double wrapped_rad(double angle_rad);

}  // namespace vision
