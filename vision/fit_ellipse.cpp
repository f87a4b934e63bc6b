#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "vision/fit_sums.h"
#include "vision/fits.h"

namespace vision {
namespace {

using Matx55d = cv::Matx<double, 5, 5>;
using Vec5d = cv::Vec<double, 5>;

// Longer than this against the points' extent is a parabola or a pair of lines.
constexpr double kLongestAxis = 1e4;

// Parameters: centre x, centre y, half axis a, half axis b, angle of a.
struct Normal {
  Matx55d jtj = Matx55d::zeros();
  Vec5d jtr = Vec5d::all(0.0);
  double ss = std::numeric_limits<double>::infinity();
};

// A distance changes as the foot point moves along the ellipse's normal; its sliding along the ellipse does
// not count to first order.
Normal normal_equations(Points points, Weights weights, const Vec5d& e) {
  Normal n;
  n.ss = 0.0;
  const Pose2 ellipse{{e[0], e[1]}, e[4]};
  const double a = e[2], b = e[3], c = std::cos(e[4]), s = std::sin(e[4]);
  for (std::size_t i = 0; i < points.size(); ++i) {
    const double w = weight(weights, i);
    const cv::Point2d p = apply_inverse(ellipse, points[i]);
    const cv::Point2d foot = nearest_on_ellipse(a, b, p);
    cv::Point2d normal{foot.x / (a * a), foot.y / (b * b)};
    normal *= 1.0 / std::hypot(normal.x, normal.y);
    const double r = normal.dot(p - foot);
    const Vec5d j(-(c * normal.x - s * normal.y), -(s * normal.x + c * normal.y), -normal.x * foot.x / a,
                  -normal.y * foot.y / b, -(normal.y * foot.x - normal.x * foot.y));
    n.jtj += w * (j * j.t());
    n.jtr += w * r * j;
    n.ss += w * r * r;
  }
  return n;
}

struct Descent {
  Vec5d ellipse;
  double ss = std::numeric_limits<double>::infinity();
  bool settled = false;
};

Descent descend(Points points, Weights weights, const Vec5d& start, double extent) {
  Descent d{start};
  Normal normal = normal_equations(points, weights, start);
  double damping = 1e-3;
  for (int i = 0; i < 200 && !d.settled; ++i) {
    Matx55d damped = normal.jtj;
    const double floor = 1e-12 * cv::trace(normal.jtj);
    for (int k = 0; k < 5; ++k) damped(k, k) += damping * (damped(k, k) + floor) + floor * 1e-3;
    const Vec5d step = damped.inv(cv::DECOMP_CHOLESKY) * -normal.jtr;
    const Vec5d next = d.ellipse + step;
    const bool possible = next[2] > 1e-6 * extent && next[3] > 1e-6 * extent && next[2] < kLongestAxis * extent &&
                          next[3] < kLongestAxis * extent;
    const Normal at_next = possible ? normal_equations(points, weights, next) : Normal{};
    const bool small = cv::norm(step) <= 1e-12 * (extent + cv::norm(d.ellipse));
    if (at_next.ss <= normal.ss) {
      d.ellipse = next;
      normal = at_next;
      damping = std::max(damping * 0.1, 1e-12);
      d.settled = small;
    } else {
      damping *= 10.0;
      d.settled = small || damping > 1e12;
    }
  }
  d.ss = normal.ss;
  return d;
}

// The distance has several valleys when few points lie on a short arc: the best of a few starts counts.
Descent best_descent(Points points, Weights weights, const Spread& spread) {
  const double extent = std::sqrt(spread.major() / spread.sum_w);
  const double along_rad = 0.5 * std::atan2(2.0 * spread.xy, spread.xx - spread.yy);
  std::array<Vec5d, 5> starts;
  int count = 0;
  starts[static_cast<std::size_t>(count++)] = {spread.centre.x, spread.centre.y, std::sqrt(2.0) * extent,
                                               std::sqrt(2.0 * spread.minor() / spread.sum_w), along_rad};
  if (const CircleFit c = fit_circle(points, weights); c.status == FitStatus::ok) {
    for (int k = 0; k < 4; ++k)
      starts[static_cast<std::size_t>(count++)] = {c.centre.x, c.centre.y, 1.1 * c.radius, 0.9 * c.radius,
                                                   along_rad + k * kPi / 4.0};
  }
  Descent best;
  for (int k = 0; k < count; ++k) {
    const Descent d = descend(points, weights, starts[static_cast<std::size_t>(k)], extent);
    if (d.ss < best.ss) best = d;
  }
  return best;
}

}  // namespace

// Eberly's bracket: with t the multiplier of the constraint the foot is (a^2 u / (t + a^2), b^2 v / (t + b^2)), and
// the ellipse's equation falls monotonically in t from the bracket's left end. Newton, with bisection when it leaves.
cv::Point2d nearest_on_ellipse(double a, double b, cv::Point2d p) {
  if (a < b) {
    const cv::Point2d swapped = nearest_on_ellipse(b, a, {p.y, p.x});
    return {swapped.y, swapped.x};
  }
  const double u = std::abs(p.x), v = std::abs(p.y), aa = a * a, bb = b * b;
  cv::Point2d foot;
  if (v <= 1e-14 * b && u < (aa - bb) / a) {
    // On the long axis between the centres of curvature: two feet, one on each side; the upper is given.
    foot.x = aa * u / (aa - bb);
    foot.y = b * std::sqrt(std::max(0.0, 1.0 - foot.x * foot.x / aa));
  } else if (a == b && u == 0.0 && v == 0.0) {
    foot = {a, 0.0};
  } else {
    double low = b * v - bb, high = std::hypot(a * u, b * v) - bb, t = low;
    for (int i = 0; i < 100; ++i) {
      const double fx = a * u / (t + aa), fy = v > 0.0 ? b * v / (t + bb) : 0.0;
      const double g = fx * fx + fy * fy - 1.0;
      (g > 0.0 ? low : high) = t;
      const double slope = -2.0 * (fx * fx / (t + aa) + (v > 0.0 ? fy * fy / (t + bb) : 0.0));
      double next = t - g / slope;
      if (!(next > low && next < high)) next = 0.5 * (low + high);
      if (std::abs(next - t) <= 1e-15 * aa) break;
      t = next;
    }
    foot = {aa * u / (t + aa), v > 0.0 ? bb * v / (t + bb) : 0.0};
  }
  return {std::copysign(foot.x, p.x), std::copysign(foot.y, p.y)};
}

EllipseFit fit_ellipse(Points points, Weights weights) {
  EllipseFit fit;
  fit.status = checked(points, weights, 5);
  if (fit.status != FitStatus::ok) return fit;
  const Spread spread = spread_of(points, weights);
  fit.status = FitStatus::degenerate;
  if (!(spread.minor() > std::max(spread.smallest(), 1e-12 * spread.major()))) return fit;
  const Descent best = best_descent(points, weights, spread);
  const double extent = std::sqrt(spread.major() / spread.sum_w);
  const double a = best.ellipse[2], b = best.ellipse[3];
  if (!std::isfinite(best.ss) || !(std::max(a, b) < 0.5 * kLongestAxis * extent)) return fit;
  fit.status = best.settled ? FitStatus::ok : FitStatus::no_convergence;
  fit.centre = {best.ellipse[0], best.ellipse[1]};
  fit.long_half_axis = std::max(a, b);
  fit.short_half_axis = std::min(a, b);
  const double twice_rad = wrapped_rad(2.0 * (best.ellipse[4] + (a < b ? kPi / 2.0 : 0.0)));
  fit.angle_rad = 0.5 * twice_rad;
  fit.rms = std::sqrt(best.ss / spread.sum_w);
  fit.sigma0 = sigma_of(best.ss, spread.count - 5);
  return fit;
}

}  // namespace vision
