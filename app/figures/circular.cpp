#include "app/figures/circular.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "calib/distributions.h"
#include "vision/geometry.h"

namespace app {
namespace {

using vision::kDegPerRad;
using vision::kRadPerDeg;

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

double wrapped_deg(double angle_deg) { return vision::wrapped_rad(angle_deg * kRadPerDeg) * kDegPerRad; }

double sum_of_arcs(std::span<const double> angles_deg, double from_deg) {
  double sum = 0.0;
  for (const double angle : angles_deg) sum += std::abs(wrapped_deg(angle - from_deg));
  return sum;
}

}  // namespace

Circular circular(std::span<const double> angles_deg) {
  Circular figures;
  figures.count = angles_deg.size();
  figures.mean_deg = figures.resultant = figures.circular_sd_deg = figures.angular_deviation_deg = kNan;
  if (angles_deg.empty()) return figures;
  // Turned so that the first is at 0: angles close to one another then lose no digits.
  const double first = angles_deg.front();
  double c = 0.0, s = 0.0, short_of_one = 0.0;
  for (const double angle : angles_deg) {
    const double off = (angle - first) * kRadPerDeg;
    c += std::cos(off);
    s += std::sin(off);
  }
  const auto n = static_cast<double>(angles_deg.size());
  figures.resultant = std::min(1.0, std::hypot(c, s) / n);
  if (!(figures.resultant > 1e-12)) return figures;
  const double mean_rad = std::atan2(s, c);
  // 1 - r = mean of 2 sin^2(half the angle off the mean).
  for (const double angle : angles_deg) {
    const double half = std::sin(0.5 * ((angle - first) * kRadPerDeg - mean_rad));
    short_of_one += 2.0 * half * half;
  }
  short_of_one /= n;
  figures.mean_deg = wrapped_deg(first + mean_rad * kDegPerRad);
  figures.circular_sd_deg = std::sqrt(-2.0 * std::log1p(-std::min(short_of_one, 1.0))) * kDegPerRad;
  figures.angular_deviation_deg = std::sqrt(2.0 * short_of_one) * kDegPerRad;
  return figures;
}

std::optional<double> interval_of_direction_deg(const Circular& figures, double confidence) {
  if (figures.count < 2 || !(figures.resultant > 0.0)) return std::nullopt;
  const auto n = static_cast<double>(figures.count);
  const double length = n * figures.resultant;
  const double chi = calib::chi_square_quantile(confidence, 1.0);
  // n^2 - R^2 from the angular deviation, which keeps its digits where r is nearly 1.
  const double deviation = figures.angular_deviation_deg * kRadPerDeg;
  const double missing = n * n * (0.5 * deviation * deviation) * (1.0 + figures.resultant);
  double sine_squared = 0.0;  // of the half width
  if (figures.resultant <= 0.9) {
    const double inside = 2.0 * n * (2.0 * length * length - n * chi) / (4.0 * n - chi);
    if (!(inside >= 0.0) || inside > length * length) return std::nullopt;
    sine_squared = 1.0 - inside / (length * length);
  } else {
    // cos^2 = (n^2 - missing e^(chi/n)) / R^2, so sin^2 = missing (e^(chi/n) - 1) / R^2.
    sine_squared = missing * std::expm1(chi / n) / (length * length);
  }
  if (!(sine_squared <= 1.0)) return std::nullopt;
  return std::asin(std::sqrt(sine_squared)) * kDegPerRad;
}

double circular_median_deg(std::span<const double> angles_deg) {
  if (angles_deg.empty()) return kNan;
  double least = std::numeric_limits<double>::infinity();
  for (const double angle : angles_deg) least = std::min(least, sum_of_arcs(angles_deg, angle));
  // With an even count all angles between two neighbours do: their middle is taken.
  std::vector<double> best;
  for (const double angle : angles_deg)
    if (sum_of_arcs(angles_deg, angle) <= least + 1e-9) best.push_back(angle);
  return circular(best).mean_deg;
}

double rayleigh_p(const Circular& figures) {
  if (figures.count == 0) return kNan;
  const auto n = static_cast<double>(figures.count);
  const double length = n * figures.resultant;
  return std::min(1.0, std::exp(std::sqrt(1.0 + 4.0 * n + 4.0 * (n * n - length * length)) - (1.0 + 2.0 * n)));
}

}  // namespace app
