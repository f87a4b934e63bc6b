#include "app/figures/capability.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "app/figures/control_chart.h"
#include "calib/distributions.h"

namespace app {

CapabilityIndices capability_indices(double mean, double sigma, std::size_t count, Interval tolerance,
                                     double confidence, std::optional<double> sigma_dof) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  CapabilityIndices found{{nan, {nan, nan}}, {nan, {nan, nan}}};
  if (!(sigma > 0.0) || count < 2) return found;
  const auto n = static_cast<double>(count);
  const double dof = sigma_dof.value_or(n - 1.0);
  const double cp = (tolerance.high - tolerance.low) / (6.0 * sigma);
  const double cpk = std::min(tolerance.high - mean, mean - tolerance.low) / (3.0 * sigma);
  found.cp = {cp,
              {cp * std::sqrt(calib::chi_square_quantile(0.5 - 0.5 * confidence, dof) / dof),
               cp * std::sqrt(calib::chi_square_quantile(0.5 + 0.5 * confidence, dof) / dof)}};
  // Bissell's, written so that it holds for a Cpk of zero or below as well.
  const double half =
      calib::normal_quantile(0.5 + 0.5 * confidence) * std::sqrt(1.0 / (9.0 * n) + cpk * cpk / (2.0 * dof));
  found.cpk = {cpk, {cpk - half, cpk + half}};
  return found;
}

double bell_curve_p(std::span<const double> values) {
  constexpr std::size_t kLeast = 8;
  const Univariate figures = univariate(values);
  if (values.size() < kLeast || !(figures.sd > 0.0)) return std::numeric_limits<double>::quiet_NaN();
  std::vector<double> z(values.begin(), values.end());
  std::sort(z.begin(), z.end());
  for (double& value : z) value = (value - figures.mean) / figures.sd;
  const auto n = static_cast<double>(z.size());
  double sum = 0.0;
  for (std::size_t i = 0; i < z.size(); ++i) {
    // Each tail by its own small probability, so that far values give no logarithm of zero.
    const double below = std::max(1e-300, calib::normal_cdf(z[i]));
    const double above = std::max(1e-300, calib::normal_cdf(-z[z.size() - 1 - i]));
    sum += (2.0 * static_cast<double>(i) + 1.0) * (std::log(below) + std::log(above));
  }
  const double a = (-n - sum / n) * (1.0 + 0.75 / n + 2.25 / (n * n));
  constexpr double kNoDoubt = 13.0;  // there p is 1e-30; far beyond, the formula's parabola would rise again
  if (a >= kNoDoubt) return 0.0;
  if (a >= 0.6) return std::min(1.0, std::exp(1.2937 - 5.709 * a + 0.0186 * a * a));
  if (a >= 0.34) return std::exp(0.9177 - 4.279 * a - 1.38 * a * a);
  if (a >= 0.2) return 1.0 - std::exp(-8.318 + 42.796 * a - 59.938 * a * a);
  return 1.0 - std::exp(-13.436 + 101.14 * a - 223.73 * a * a);
}

namespace {

// Of many values every so-manieth: thousands show any curve, and the test of hundreds of thousands takes long to find
// departures that do not matter.
double bell_curve_p_of_some(std::span<const double> values) {
  const std::size_t step = values.size() / kEnoughForCurve + 1;
  if (step == 1) return bell_curve_p(values);
  std::vector<double> some;
  for (std::size_t i = 0; i < values.size(); i += step) some.push_back(values[i]);
  return bell_curve_p(some);
}

}  // namespace

Capability capability(std::span<const double> values, Interval tolerance, double confidence) {
  Capability found;
  found.figures = univariate(values);
  const IndividualsChart chart = individuals_chart(values);
  const double moving_dof = kMovingRangeDof * (static_cast<double>(values.size()) - 1.0);
  found.shortly = capability_indices(found.figures.mean, chart.sigma, values.size(), tolerance, confidence, moving_dof);
  found.throughout = capability_indices(found.figures.mean, found.figures.sd, values.size(), tolerance, confidence);
  found.too_few = values.size() < kFewForCapability;
  found.no_bell_curve = bell_curve_p_of_some(values) < 0.01;
  return found;
}

}  // namespace app
