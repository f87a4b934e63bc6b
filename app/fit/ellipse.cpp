#include "app/fit/ellipse.h"

#include <algorithm>
#include <cmath>

namespace app {
namespace {

// In the first quadrant, x along the longer half axis. The nearest point is (a^2 x / (t + a^2), b^2 y / (t + b^2)) for
// the largest root t of (a x / (t + a^2))^2 + (b y / (t + b^2))^2 = 1. That sum falls and is convex where t > -b^2, so
// that Newton's steps from a point where it is above 1 never pass the root. (Eberly, "Distance from a Point to an
// Ellipse", uses the same equation with bisection.)
cv::Point2d nearest_in_quadrant(double a, double b, double x, double y) {
  const double spread = a * a - b * b;
  if (!(y > 0.0)) {  // on the long axis; between the centres of greatest curvature the nearest point leaves it
    if (a * x >= spread) return {a, 0.0};
    const double share = a * x / spread;
    return {a * share, b * std::sqrt(std::max(0.0, 1.0 - share * share))};
  }
  // t + b^2, so that it does not vanish beside b^2.
  double s = std::max(b * y, a * x - spread);
  for (int i = 0; i < 100; ++i) {
    const double u = a * x / (s + spread), v = b * y / s;
    const double over = u * u + v * v - 1.0;
    const double step = over / (2.0 * (u * u / (s + spread) + v * v / s));
    if (!(step > 1e-15 * s)) break;
    s += step;
  }
  cv::Point2d on(a * a * x / (s + spread), b * b * y / s);
  // What is left of the root's rounding is taken out along the radius.
  const double length = std::hypot(on.x / a, on.y / b);
  return length > 0.0 ? on / length : cv::Point2d(0.0, b);
}

}  // namespace

cv::Point2d nearest_on_ellipse(cv::Size2d half, cv::Point2d p) {
  const bool wide = half.width >= half.height;
  const double a = wide ? half.width : half.height, b = wide ? half.height : half.width;
  cv::Point2d on = wide ? nearest_in_quadrant(a, b, std::abs(p.x), std::abs(p.y))
                        : nearest_in_quadrant(a, b, std::abs(p.y), std::abs(p.x));
  if (!wide) std::swap(on.x, on.y);
  return {std::copysign(on.x, p.x), std::copysign(on.y, p.y)};
}

}  // namespace app
