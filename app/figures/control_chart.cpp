#include "app/figures/control_chart.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "vision/geometry.h"

namespace app {
namespace {

constexpr double kD4 = 3.267;  // 1 + 3 d3 / d2 for two values, as tables have it (e-Handbook 6.3.2.1)

// Of the values up to `at`, the last `of`: at least `wanted`, this one among them, lie further than `beyond` to the
// side.
bool enough(std::span<const double> off, std::size_t at, std::size_t of, std::size_t wanted, double beyond,
            double side) {
  const auto lies = [&](std::size_t i) { return side * off[i] > beyond; };
  if (!lies(at)) return false;
  std::size_t count = 0;
  for (std::size_t i = at + 1 > of ? at + 1 - of : 0; i <= at; ++i) count += lies(i) ? 1 : 0;
  return count >= wanted;
}

}  // namespace

IndividualsChart individuals_chart(std::span<const double> values) {
  IndividualsChart chart;
  const double nan = std::numeric_limits<double>::quiet_NaN();
  if (values.size() < 2) return {nan, nan, nan, {nan, nan}, nan};
  chart.centre = univariate(values).mean;
  for (std::size_t i = 1; i < values.size(); ++i) chart.mean_range += std::abs(values[i] - values[i - 1]);
  chart.mean_range /= static_cast<double>(values.size() - 1);
  chart.sigma = chart.mean_range * std::sqrt(vision::kPi) / 2.0;
  chart.limits = {chart.centre - 3.0 * chart.sigma, chart.centre + 3.0 * chart.sigma};
  chart.range_limit = kD4 * chart.mean_range;
  return chart;
}

std::vector<ControlSignal> control_signals(std::span<const double> values, double centre, double sigma) {
  std::vector<ControlSignal> signals;
  if (!(sigma > 0.0)) return signals;
  std::vector<double> off(values.size());
  std::transform(values.begin(), values.end(), off.begin(), [&](double x) { return (x - centre) / sigma; });
  struct Rule {
    ControlRule name;
    std::size_t of, wanted;
    double beyond;
  };
  constexpr Rule kRules[]{{ControlRule::beyond_3_sigma, 1, 1, 3.0},
                          {ControlRule::two_beyond_2, 3, 2, 2.0},
                          {ControlRule::four_beyond_1, 5, 4, 1.0},
                          {ControlRule::eight_on_one_side, 8, 8, 0.0}};
  for (std::size_t i = 0; i < off.size(); ++i)
    for (const Rule& rule : kRules)
      for (const double side : {1.0, -1.0})
        if (enough(off, i, rule.of, rule.wanted, rule.beyond, side)) signals.push_back({rule.name, i, side > 0.0});
  return signals;
}

EwmaChart ewma_chart(std::span<const double> values, double centre, double sigma, const EwmaOptions& options) {
  EwmaChart chart;
  const double keeps = 1.0 - options.lambda;
  double z = centre, kept = 1.0;
  for (const double value : values) {
    z = options.lambda * value + keeps * z;
    kept *= keeps * keeps;
    const double half = options.width_sigma * sigma *
                        std::sqrt(options.lambda / (2.0 - options.lambda) * (options.settled ? 1.0 : 1.0 - kept));
    chart.z.push_back(z);
    chart.limits.push_back({centre - half, centre + half});
  }
  return chart;
}

}  // namespace app
