#include "app/figures/univariate.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "calib/distributions.h"

namespace app {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

}  // namespace

Univariate univariate(std::span<const double> values) {
  Univariate figures;
  figures.count = values.size();
  figures.mean = figures.sd = figures.lag1 = kNan;
  if (values.empty()) return figures;
  const auto n = static_cast<long double>(values.size());
  const long double first = values.front();
  long double sum = 0.0L;
  for (const double value : values) sum += value - first;
  const long double mean = sum / n;  // of the differences
  figures.mean = static_cast<double>(first + mean);
  if (values.size() < 2) return figures;
  long double squares = 0.0L, rest = 0.0L, neighbours = 0.0L, before = 0.0L;
  for (std::size_t i = 0; i < values.size(); ++i) {
    const long double off = (values[i] - first) - mean;
    squares += off * off;
    rest += off;
    if (i > 0) neighbours += off * before;
    before = off;
  }
  squares -= rest * rest / n;  // what rounding of the mean left
  figures.sd = static_cast<double>(std::sqrt(std::max(0.0L, squares) / (n - 1.0L)));
  if (squares > 0.0L) figures.lag1 = static_cast<double>(neighbours / squares);
  return figures;
}

Interval interval_of_mean(const Univariate& figures, double confidence) {
  if (figures.count < 2) return {kNan, kNan};
  const auto n = static_cast<double>(figures.count);
  const double half = calib::student_quantile(0.5 + 0.5 * confidence, n - 1.0) * figures.sd / std::sqrt(n);
  return {figures.mean - half, figures.mean + half};
}

Interval interval_of_sd(const Univariate& figures, double confidence) {
  if (figures.count < 2) return {kNan, kNan};
  const double dof = static_cast<double>(figures.count) - 1.0;
  return {figures.sd * std::sqrt(dof / calib::chi_square_quantile(0.5 + 0.5 * confidence, dof)),
          figures.sd * std::sqrt(dof / calib::chi_square_quantile(0.5 - 0.5 * confidence, dof))};
}

Interval wilson_interval(std::size_t hits, std::size_t count, double confidence) {
  if (count == 0) return {0.0, 1.0};
  const auto n = static_cast<double>(count);
  const double share = static_cast<double>(hits) / n;
  const double z = calib::normal_quantile(0.5 + 0.5 * confidence);
  const double middle = share + z * z / (2.0 * n);
  const double half = z * std::sqrt(share * (1.0 - share) / n + z * z / (4.0 * n * n));
  const double scale = 1.0 + z * z / n;
  return {std::max(0.0, (middle - half) / scale), std::min(1.0, (middle + half) / scale)};
}

}  // namespace app
