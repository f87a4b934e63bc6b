#include "app/figures/circle.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "calib/distributions.h"

namespace app {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
constexpr double kConfidence = 0.95;

cv::Matx22d covariance_of(std::span<const cv::Point2d> offsets_mm, const Univariate& x, const Univariate& y) {
  double mixed = 0.0;
  for (const cv::Point2d& p : offsets_mm) mixed += (p.x - x.mean) * (p.y - y.mean);
  mixed /= static_cast<double>(offsets_mm.size()) - 1.0;
  return {x.sd * x.sd, mixed, mixed, y.sd * y.sd};
}

// P(at most k of n), each with the chance p.
double binomial_cdf(std::size_t k, std::size_t n, double p) {
  if (k >= n) return 1.0;
  return calib::incomplete_beta(static_cast<double>(n - k), static_cast<double>(k) + 1.0, 1.0 - p);
}

// The least count k, from 1 to n, that `reaches` says yes of, as all larger ones do; n where none does.
template <class Reaches>
std::size_t least_count(std::size_t n, const Reaches& reaches) {
  std::size_t low = 1, high = n;
  while (low < high) {
    const std::size_t middle = low + (high - low) / 2;
    if (reaches(middle))
      high = middle;
    else
      low = middle + 1;
  }
  return low;
}

// Changes the order of `radii`.
double nth(std::vector<double>& radii, std::size_t at) {
  const auto place = radii.begin() + static_cast<std::ptrdiff_t>(at);
  std::nth_element(radii.begin(), place, radii.end());
  return *place;
}

// The order statistics between which the share's radius lies; nothing where there are too few pieces for an upper one.
std::optional<Interval> interval_by_order(std::vector<double>& radii, double share) {
  const std::size_t n = radii.size();
  const double outside = 0.5 * (1.0 - kConfidence);
  // Counts of pieces within.
  const std::size_t low =
      binomial_cdf(0, n, share) > outside
          ? 0
          : std::min(least_count(n, [&](std::size_t k) { return binomial_cdf(k, n, share) > outside; }), n - 1);
  const std::size_t high =
      least_count(n + 1, [&](std::size_t k) { return k > n || 1.0 - binomial_cdf(k - 1, n, share) <= outside; }) - 1;
  if (high >= n) return std::nullopt;
  return Interval{nth(radii, low > 0 ? low - 1 : 0), nth(radii, high)};
}

}  // namespace

OffsetScatter offset_scatter(std::span<const cv::Point2d> offsets_mm) {
  std::vector<double> x, y;
  for (const cv::Point2d& p : offsets_mm) x.push_back(p.x), y.push_back(p.y);
  OffsetScatter found;
  found.x = univariate(x);
  found.y = univariate(y);
  found.mean_mm = {found.x.mean, found.y.mean};
  found.mean_x_mm = interval_of_mean(found.x);
  found.mean_y_mm = interval_of_mean(found.y);
  found.no_bias_p = kNan;
  if (offsets_mm.size() < 3) return found;
  const cv::Matx22d covariance = covariance_of(offsets_mm, found.x, found.y);
  const double determinant = cv::determinant(covariance);
  if (!(determinant > 0.0)) return found;
  const auto n = static_cast<double>(offsets_mm.size());
  const cv::Point2d m = found.mean_mm;
  const double t_squared =
      n * (covariance(1, 1) * m.x * m.x - 2.0 * covariance(0, 1) * m.x * m.y + covariance(0, 0) * m.y * m.y) /
      determinant;
  found.no_bias_p = calib::fisher_tail(t_squared * (n - 2.0) / (2.0 * (n - 1.0)), 2.0, n - 2.0);
  return found;
}

double share_within(double radius_mm, cv::Point2d mean_mm, const cv::Matx22d& covariance) {
  if (!(radius_mm > 0.0)) return 0.0;
  // In the axes of the scatter.
  const double angle = 0.5 * std::atan2(2.0 * covariance(0, 1), covariance(0, 0) - covariance(1, 1));
  const double c = std::cos(angle), s = std::sin(angle);
  const cv::Point2d mean(c * mean_mm.x + s * mean_mm.y, c * mean_mm.y - s * mean_mm.x);
  const auto along = [&](double a, double b) {
    return a * a * covariance(0, 0) + 2.0 * a * b * covariance(0, 1) + b * b * covariance(1, 1);
  };
  const double sd_u = std::sqrt(std::max(along(c, s), 1e-18)), sd_v = std::sqrt(std::max(along(-s, c), 1e-18));
  // Simpson's rule over the broader axis, in the angle of the circle so that its ends are smooth.
  constexpr int kSteps = 400;
  double sum = 0.0;
  for (int i = 0; i <= kSteps; ++i) {
    const double t = CV_PI * (static_cast<double>(i) / kSteps - 0.5);
    const double u = radius_mm * std::sin(t), v = radius_mm * std::cos(t);
    const double z = (u - mean.x) / sd_u;
    const double density = std::exp(-0.5 * z * z) / (sd_u * std::sqrt(2.0 * CV_PI));
    const double across = calib::normal_cdf((v - mean.y) / sd_v) - calib::normal_cdf((-v - mean.y) / sd_v);
    const double weight = i == 0 || i == kSteps ? 1.0 : i % 2 == 1 ? 4.0 : 2.0;
    sum += weight * density * across * v;  // du = v dt
  }
  return std::min(1.0, sum * CV_PI / (3.0 * kSteps));
}

HoldingCircle holding_circle(std::span<const cv::Point2d> offsets_mm, double share) {
  HoldingCircle circle;
  circle.radius_mm = kNan;
  if (offsets_mm.size() < 3) return circle;
  std::vector<double> radii;
  for (const cv::Point2d& p : offsets_mm) radii.push_back(std::hypot(p.x, p.y));
  circle.interval = interval_by_order(radii, share);
  circle.by_order = circle.interval.has_value();
  if (circle.by_order) {
    const auto held = static_cast<std::size_t>(std::ceil(share * static_cast<double>(radii.size())));
    circle.radius_mm = nth(radii, std::max<std::size_t>(held, 1) - 1);
    return circle;
  }
  const OffsetScatter scatter = offset_scatter(offsets_mm);
  const cv::Matx22d covariance = covariance_of(offsets_mm, scatter.x, scatter.y);
  double low = 0.0, high = *std::max_element(radii.begin(), radii.end()) + 1e-6;
  while (share_within(high, scatter.mean_mm, covariance) < share && high < 1e6) high *= 2.0;
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (share_within(middle, scatter.mean_mm, covariance) < share ? low : high) = middle;
  }
  circle.radius_mm = 0.5 * (low + high);
  return circle;
}

}  // namespace app
