#include "calib/distributions.h"

#include <cmath>
#include <limits>

namespace calib {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
// Beyond it t is the normal distribution to more digits than anyone reads.
constexpr double kManyDof = 1e7;

// The continued fraction of DLMF 8.17.22 by Lentz's method; quick for x below (a + 1) / (a + b + 2).
double beta_fraction(double a, double b, double x) {
  constexpr double kTiny = 1e-300;
  constexpr int kMost = 10000;
  double c = 1.0, d = 1.0 / (1.0 - (a + b) * x / (a + 1.0)), value = d;
  const auto step = [&](double term) {
    d = 1.0 + term * d;
    c = 1.0 + term / c;
    if (std::abs(d) < kTiny) d = kTiny;
    if (std::abs(c) < kTiny) c = kTiny;
    d = 1.0 / d;
    value *= c * d;
  };
  for (int m = 1; m < kMost; ++m) {
    step(m * (b - m) * x / ((a + 2 * m - 1.0) * (a + 2 * m)));
    step(-(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1.0)));
    if (std::abs(c * d - 1.0) < 1e-15) break;
  }
  return value;
}

// For a function that grows with x.
template <class Function>
double bisect(double low, double high, const Function& is_below) {
  for (int i = 0; i < 2000; ++i) {
    const double middle = 0.5 * (low + high);
    if (!(middle > low && middle < high)) break;
    (is_below(middle) ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

}  // namespace

double incomplete_beta(double a, double b, double x) {
  if (!(a > 0.0 && b > 0.0 && x >= 0.0 && x <= 1.0)) return kNan;
  if (x == 0.0 || x == 1.0) return x;
  const double front =
      std::exp(std::lgamma(a + b) - std::lgamma(a) - std::lgamma(b) + a * std::log(x) + b * std::log1p(-x));
  if (x < (a + 1.0) / (a + b + 2.0)) return front * beta_fraction(a, b, x) / a;
  return 1.0 - front * beta_fraction(b, a, 1.0 - x) / b;
}

double student_cdf(double t, double dof) {
  if (!(dof > 0.0) || std::isnan(t)) return kNan;
  if (dof > kManyDof) return 0.5 * std::erfc(-t / std::sqrt(2.0));
  const double tail = 0.5 * incomplete_beta(0.5 * dof, 0.5, dof / (dof + t * t));
  return t > 0.0 ? 1.0 - tail : tail;
}

double fisher_cdf(double f, double upper_dof, double lower_dof) {
  if (!(upper_dof > 0.0 && lower_dof > 0.0 && f >= 0.0)) return kNan;
  return incomplete_beta(0.5 * upper_dof, 0.5 * lower_dof, upper_dof * f / (upper_dof * f + lower_dof));
}

double fisher_tail(double f, double upper_dof, double lower_dof) {
  if (!(upper_dof > 0.0 && lower_dof > 0.0 && f >= 0.0)) return kNan;
  return incomplete_beta(0.5 * lower_dof, 0.5 * upper_dof, lower_dof / (upper_dof * f + lower_dof));
}

double student_quantile(double p, double dof) {
  if (!(p > 0.0 && p < 1.0 && dof > 0.0)) return kNan;
  if (p < 0.5) return -student_quantile(1.0 - p, dof);
  double high = 1.0;
  while (student_cdf(high, dof) < p && high < 1e150) high *= 2.0;
  return bisect(0.0, high, [&](double t) { return student_cdf(t, dof) < p; });
}

double fisher_quantile(double p, double upper_dof, double lower_dof) {
  if (!(p > 0.0 && p < 1.0 && upper_dof > 0.0 && lower_dof > 0.0)) return kNan;
  double high = 1.0;
  while (fisher_cdf(high, upper_dof, lower_dof) < p && high < 1e150) high *= 2.0;
  return bisect(0.0, high, [&](double f) { return fisher_cdf(f, upper_dof, lower_dof) < p; });
}

double incomplete_gamma(double a, double x) {
  if (!(a > 0.0 && x >= 0.0)) return kNan;
  if (x == 0.0) return 0.0;
  if (std::isinf(x)) return 1.0;
  constexpr int kMost = 100000;
  const double front = std::exp(a * std::log(x) - x - std::lgamma(a));
  if (x < a + 1.0) {  // the series of DLMF 8.7.1
    double term = 1.0 / a, sum = term;
    for (int n = 1; n < kMost && term > 1e-17 * sum; ++n) sum += term *= x / (a + n);
    return front * sum;
  }
  // The continued fraction of DLMF 8.9.2 for the upper part, by Lentz's method.
  double b = x + 1.0 - a, c = 1e300, d = 1.0 / b, value = d;
  for (int n = 1; n < kMost; ++n) {
    const double an = -n * (n - a);
    b += 2.0;
    d = 1.0 / (an * d + b);
    c = b + an / c;
    value *= c * d;
    if (std::abs(c * d - 1.0) < 1e-15) break;
  }
  return 1.0 - front * value;
}

double chi_square_cdf(double x, double dof) { return incomplete_gamma(0.5 * dof, 0.5 * x); }

double chi_square_quantile(double p, double dof) {
  if (!(p > 0.0 && p < 1.0 && dof > 0.0)) return kNan;
  double high = 1.0;
  while (chi_square_cdf(high, dof) < p && high < 1e150) high *= 2.0;
  return bisect(0.0, high, [&](double x) { return chi_square_cdf(x, dof) < p; });
}

double normal_cdf(double z) { return 0.5 * std::erfc(-z / std::sqrt(2.0)); }

double normal_quantile(double p) { return student_quantile(p, 2.0 * kManyDof); }

}  // namespace calib
