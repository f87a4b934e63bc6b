#include <algorithm>
#include <cmath>

#include "vision/fit_sums.h"
#include "vision/fits.h"

namespace vision {
namespace {

// Flatter than this against the points' extent is a line.
constexpr double kFlattestRadius = 1e5;

struct Circle {
  cv::Point2d centre;
  double radius;
};

// Kasa's algebraic fit about the points' centre: the start of the iteration.
Circle algebraic_circle(Points points, Weights weights, const Spread& s) {
  double xz = 0.0, yz = 0.0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const double w = weight(weights, i);
    const cv::Point2d d = points[i] - s.centre;
    const double z = d.dot(d);
    xz += w * d.x * z;
    yz += w * d.y * z;
  }
  const double det = s.xx * s.yy - s.xy * s.xy;
  const cv::Point2d c{0.5 * (s.yy * xz - s.xy * yz) / det, 0.5 * (s.xx * yz - s.xy * xz) / det};
  return {s.centre + c, std::sqrt(c.dot(c) + (s.xx + s.yy) / s.sum_w)};
}

// Normal equations of the distances |p - centre| - radius.
struct Normal {
  cv::Matx33d jtj = cv::Matx33d::zeros();
  cv::Vec3d jtr{0.0, 0.0, 0.0};
  double ss = 0.0;
};

Normal normal_equations(Points points, Weights weights, const Circle& circle) {
  Normal n;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const cv::Point2d d = points[i] - circle.centre;
    const double distance = std::hypot(d.x, d.y);
    if (distance == 0.0) continue;  // a point at the centre pulls to no side
    const double w = weight(weights, i), r = distance - circle.radius;
    const cv::Vec3d j(-d.x / distance, -d.y / distance, -1.0);
    n.jtj += w * (j * j.t());
    n.jtr += w * r * j;
    n.ss += w * r * r;
  }
  return n;
}

}  // namespace

CircleFit fit_circle(Points points, Weights weights) {
  CircleFit fit;
  fit.status = checked(points, weights, 3);
  if (fit.status != FitStatus::ok) return fit;
  const Spread spread = spread_of(points, weights);
  fit.status = FitStatus::degenerate;
  if (!(spread.minor() > std::max(spread.smallest(), 1e-14 * spread.major()))) return fit;

  // Levenberg and Marquardt's damping keeps short arcs from running away.
  Circle circle = algebraic_circle(points, weights, spread);
  Normal normal = normal_equations(points, weights, circle);
  double damping = 1e-6;
  bool settled = false;
  for (int i = 0; i < 100 && !settled; ++i) {
    cv::Matx33d damped = normal.jtj;
    for (int k = 0; k < 3; ++k) damped(k, k) *= 1.0 + damping;
    const cv::Vec3d step = damped.inv(cv::DECOMP_CHOLESKY) * -normal.jtr;
    const Circle next{circle.centre + cv::Point2d(step[0], step[1]), circle.radius + step[2]};
    const Normal at_next = normal_equations(points, weights, next);
    const bool small = cv::norm(step) <= 1e-13 * (circle.radius + cv::norm(circle.centre));
    if (at_next.ss <= normal.ss) {
      circle = next;
      normal = at_next;
      damping = std::max(damping * 0.1, 1e-12);
      settled = small;
    } else {
      damping *= 10.0;
      settled = small || damping > 1e12;
    }
  }
  const double extent = std::sqrt(spread.major() / spread.sum_w);
  if (!(circle.radius > 0.0) || !(circle.radius < kFlattestRadius * extent)) return fit;
  fit.status = settled ? FitStatus::ok : FitStatus::no_convergence;
  fit.centre = circle.centre;
  fit.radius = circle.radius;
  fit.rms = std::sqrt(normal.ss / spread.sum_w);
  fit.sigma0 = sigma_of(normal.ss, spread.count - 3);
  fit.unit_covariance = normal.jtj.inv(cv::DECOMP_CHOLESKY);
  return fit;
}

}  // namespace vision
