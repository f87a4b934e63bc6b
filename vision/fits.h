// Least-squares fits of a line, a rigid motion, a circle and an ellipse to points of the plane.
// Any unit of length; angles in radians. Nothing here allocates.
//
// Weights are 1 / variance, up to a common factor; none means all 1. `unit_covariance` is the parameters' covariance
// when a point of weight 1 has the standard deviation 1 in x and in y, errors independent: multiply it by the
// known variance, or by sigma0 * sigma0 when the residuals are to tell it.
#pragma once

#include <opencv2/core.hpp>
#include <span>
#include <string_view>

#include "vision/geometry.h"

namespace vision {

enum class FitStatus {
  ok,
  too_few_points,  // fewer points of positive weight than the shape needs
  not_finite,      // a coordinate is NaN or infinite, or a weight is negative or not finite, or the counts differ
  degenerate,      // the points don't hold the shape: all in one place, all on a line, no preferred direction
  mirrored,        // only a reflection brings the one set onto the other
  no_convergence,  // the iteration did not settle
};
std::string_view name(FitStatus status);

using Points = std::span<const cv::Point2d>;
using Weights = std::span<const double>;

// Total least squares: the squares of the perpendicular distances are least.
struct LineFit {
  FitStatus status = FitStatus::too_few_points;
  cv::Point2d point;      // the weighted centre, on the line
  cv::Point2d direction;  // unit length, pointing from the first point towards the last
  double rms = 0.0;       // of the perpendicular distances, weighted
  double sigma0 = 0.0;    // standard deviation of weight 1 from the residuals, n - 2 degrees of freedom; 0 when n is 2
  double unit_variance_across = 0.0;  // of `point` perpendicular to the line; independent of
  double unit_variance_angle = 0.0;   // that of the direction, rad^2
};
LineFit fit_line(Points points, Weights weights = {});

struct RigidOptions {
  bool with_scale = false;
  // A set that fits much better after a reflection is `mirrored`: a wiring mistake, never a measurement.
  // When false, the best proper rotation is given.
  bool refuse_mirrored = true;
};
// p_in_a = scale * R(angle) * p_in_b + origin, never a reflection; Umeyama, IEEE TPAMI 13(4), 1991.
struct RigidFit {
  FitStatus status = FitStatus::too_few_points;
  Pose2 a_from_b;
  double scale = 1.0;
  double rms = 0.0;     // of the distances, weighted
  double sigma0 = 0.0;  // of one coordinate of a point of weight 1; 2n - 3 (or 4 with scale) degrees of freedom
  Covariance3 unit_covariance = Covariance3::zeros();  // of (x, y, angle rad)
};
RigidFit fit_rigid(Points in_b, Points in_a, Weights weights = {}, const RigidOptions& options = {});

// The squares of the distances to the circle itself are least (not an algebraic stand-in).
struct CircleFit {
  FitStatus status = FitStatus::too_few_points;
  cv::Point2d centre;
  double radius = 0.0;
  double rms = 0.0;
  double sigma0 = 0.0;                                 // n - 3 degrees of freedom; 0 when n is 3
  cv::Matx33d unit_covariance = cv::Matx33d::zeros();  // of (x, y, radius)
};
CircleFit fit_circle(Points points, Weights weights = {});

// The same for an ellipse. angle_rad turns +x onto the long half axis, in (-pi/2, pi/2].
struct EllipseFit {
  FitStatus status = FitStatus::too_few_points;
  cv::Point2d centre;
  double long_half_axis = 0.0, short_half_axis = 0.0;
  double angle_rad = 0.0;
  double rms = 0.0;
  double sigma0 = 0.0;  // n - 5 degrees of freedom; 0 when n is 5
};
EllipseFit fit_ellipse(Points points, Weights weights = {});

// The point of an axis-parallel ellipse (half axes a along x, b along y, centre 0) that is nearest to p.
cv::Point2d nearest_on_ellipse(double a, double b, cv::Point2d p);

}  // namespace vision
