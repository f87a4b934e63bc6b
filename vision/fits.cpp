#include "vision/fits.h"

#include <algorithm>
#include <cmath>

#include "vision/fit_sums.h"

namespace vision {

std::string_view name(FitStatus status) {
  switch (status) {
    case FitStatus::ok:
      return "ok";
    case FitStatus::too_few_points:
      return "too_few_points";
    case FitStatus::not_finite:
      return "not_finite";
    case FitStatus::degenerate:
      return "degenerate";
    case FitStatus::mirrored:
      return "mirrored";
    case FitStatus::no_convergence:
      return "no_convergence";
  }
  return "unknown";
}

LineFit fit_line(Points points, Weights weights) {
  LineFit fit;
  fit.status = checked(points, weights, 2);
  if (fit.status != FitStatus::ok) return fit;
  const Spread spread = spread_of(points, weights);
  const double along = spread.major(), across = std::max(0.0, spread.minor());
  if (!(along > spread.smallest()) || !(along - across > 1e-9 * along)) {
    fit.status = FitStatus::degenerate;
    return fit;
  }
  const double angle_rad = 0.5 * std::atan2(2.0 * spread.xy, spread.xx - spread.yy);
  fit.point = spread.centre;
  fit.direction = {std::cos(angle_rad), std::sin(angle_rad)};
  if (fit.direction.dot(points.back() - points.front()) < 0.0) fit.direction *= -1.0;
  // From the residuals themselves: the small eigenvalue loses its digits where the points lie well on the line.
  double residual_ss = 0.0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const double r = fit.direction.cross(points[i] - fit.point);
    residual_ss += weight(weights, i) * r * r;
  }
  fit.rms = std::sqrt(residual_ss / spread.sum_w);
  fit.sigma0 = sigma_of(residual_ss, spread.count - 2);
  fit.unit_variance_across = 1.0 / spread.sum_w;
  fit.unit_variance_angle = 1.0 / along;
  return fit;
}

namespace {

// Sums of products of two centred sets, in b and in a.
struct CrossSums {
  double bb = 0.0, aa = 0.0;                        // squared sizes
  double dot = 0.0, cross = 0.0;                    // for the best rotation
  double dot_mirrored = 0.0, cross_mirrored = 0.0;  // for the best rotation after y in b changed sign
};

CrossSums cross_sums(Points in_b, cv::Point2d centre_b, Points in_a, cv::Point2d centre_a, Weights weights) {
  CrossSums s;
  for (std::size_t i = 0; i < in_b.size(); ++i) {
    const double w = weight(weights, i);
    const cv::Point2d b = in_b[i] - centre_b, a = in_a[i] - centre_a, b_mirrored{b.x, -b.y};
    s.bb += w * b.dot(b);
    s.aa += w * a.dot(a);
    s.dot += w * b.dot(a);
    s.cross += w * b.cross(a);
    s.dot_mirrored += w * b_mirrored.dot(a);
    s.cross_mirrored += w * b_mirrored.cross(a);
  }
  return s;
}

// Squared residual that the best motion leaves, given the length of its correlation.
double left_over(const CrossSums& s, double correlation, bool with_scale) {
  return with_scale ? s.aa - correlation * correlation / s.bb : s.aa + s.bb - 2.0 * correlation;
}

// A reflection explains what no rotation can: a quarter of the squared residuals, and they are no mere noise
// about points on a line, where both do equally well.
bool looks_mirrored(const CrossSums& s, bool with_scale) {
  const double rotated = left_over(s, std::hypot(s.dot, s.cross), with_scale);
  const double reflected = left_over(s, std::hypot(s.dot_mirrored, s.cross_mirrored), with_scale);
  return rotated > 4.0 * std::max(0.0, reflected) && rotated > 1e-3 * s.aa;
}

// The origin in a is a's centre minus the turned centre of b, so it moves with the angle.
Covariance3 rigid_covariance(const Pose2& a_from_b, cv::Point2d scaled_centre_b, double sum_w, double angle_variance) {
  const cv::Point2d lever = apply({{0.0, 0.0}, a_from_b.angle_rad + kPi / 2.0}, scaled_centre_b);
  const double gx = -lever.x, gy = -lever.y;  // d origin / d angle
  return {1.0 / sum_w + gx * gx * angle_variance,
          gx * gy * angle_variance,
          gx * angle_variance,
          gx * gy * angle_variance,
          1.0 / sum_w + gy * gy * angle_variance,
          gy * angle_variance,
          gx * angle_variance,
          gy * angle_variance,
          angle_variance};
}

}  // namespace

RigidFit fit_rigid(Points in_b, Points in_a, Weights weights, const RigidOptions& options) {
  RigidFit fit;
  fit.status = in_b.size() == in_a.size() ? checked(in_b, weights, 2) : FitStatus::not_finite;
  if (fit.status == FitStatus::ok) fit.status = checked(in_a, weights, 2);
  if (fit.status != FitStatus::ok) return fit;
  const Spread spread_b = spread_of(in_b, weights), spread_a = spread_of(in_a, weights);
  const CrossSums s = cross_sums(in_b, spread_b.centre, in_a, spread_a.centre, weights);
  const double correlation = std::hypot(s.dot, s.cross);
  const bool spread_out = s.bb > spread_b.smallest() && s.aa > spread_a.smallest();
  if (spread_out && options.refuse_mirrored && looks_mirrored(s, options.with_scale)) {
    fit.status = FitStatus::mirrored;
  } else if (!spread_out || !(correlation > 1e-9 * std::sqrt(s.aa * s.bb))) {
    fit.status = FitStatus::degenerate;
  }
  if (fit.status != FitStatus::ok) return fit;

  fit.scale = options.with_scale ? correlation / s.bb : 1.0;
  fit.a_from_b.angle_rad = std::atan2(s.cross, s.dot);
  const Pose2 turn{{0.0, 0.0}, fit.a_from_b.angle_rad};
  const cv::Point2d scaled_centre_b = fit.scale * spread_b.centre;
  fit.a_from_b.origin_mm = spread_a.centre - apply(turn, scaled_centre_b);
  double residual_ss = 0.0;
  for (std::size_t i = 0; i < in_b.size(); ++i) {
    const cv::Point2d r = in_a[i] - apply(fit.a_from_b, fit.scale * in_b[i]);
    residual_ss += weight(weights, i) * r.dot(r);
  }
  fit.rms = std::sqrt(residual_ss / spread_b.sum_w);
  fit.sigma0 = sigma_of(residual_ss, 2 * spread_b.count - (options.with_scale ? 4 : 3));
  fit.unit_covariance =
      rigid_covariance(fit.a_from_b, scaled_centre_b, spread_b.sum_w, 1.0 / (fit.scale * fit.scale * s.bb));
  return fit;
}

}  // namespace vision
