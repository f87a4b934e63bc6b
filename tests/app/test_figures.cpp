// The statistics of placement, by hand-computed and closed-form cases and by simulation.
#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <numbers>
#include <random>
#include <vector>

#include "app/figures/capability.h"
#include "app/figures/circle.h"
#include "app/figures/circular.h"
#include "app/figures/comparison.h"
#include "app/figures/control_chart.h"
#include "app/figures/univariate.h"
#include "calib/distributions.h"
#include "tests/catch.h"

namespace {

std::vector<double> bell(std::size_t count, double mean, double sd, std::uint64_t seed) {
  std::mt19937_64 random(seed);
  std::normal_distribution<double> curve(mean, sd);
  std::vector<double> values(count);
  for (double& value : values) value = curve(random);
  return values;
}

}  // namespace

TEST_CASE("mean, spread and their intervals of few values", "[figures]") {
  const app::Univariate none = app::univariate({});
  CHECK(none.count == 0);
  CHECK(std::isnan(none.mean));
  const std::vector<double> one{2.5};
  CHECK(app::univariate(one).mean == 2.5);
  CHECK(std::isnan(app::univariate(one).sd));
  CHECK(std::isnan(app::interval_of_mean(app::univariate(one)).low));
  // By hand: mean 3, squares 4 + 1 + 0 + 1 + 4 = 10, sd sqrt(10 / 4).
  const std::vector<double> five{1, 2, 3, 4, 5};
  const app::Univariate figures = app::univariate(five);
  CHECK_THAT(figures.mean, WithinAbs(3.0, 1e-15));
  CHECK_THAT(figures.sd, WithinAbs(std::sqrt(2.5), 1e-15));
  CHECK_THAT(figures.lag1, WithinAbs((2.0 + 0.0 + 0.0 + 2.0) / 10.0, 1e-15));
  // t of 4 degrees of freedom at 97.5 %: 2.776 (any table).
  CHECK_THAT(app::interval_of_mean(figures).high, WithinAbs(3.0 + 2.7764451 * std::sqrt(2.5 / 5.0), 1e-6));
  const std::vector<double> level(7, -4.25);
  CHECK(app::univariate(level).sd == 0.0);
  CHECK(std::isnan(app::univariate(level).lag1));
}

// R. G. Newcombe, "Two-sided confidence intervals for the single proportion", Statistics in Medicine 17 (1998)
// 857-872, table I, method 3 (score, without correction); figures from memory.
TEST_CASE("Wilson's interval gives the published examples", "[figures]") {
  struct Published {
    std::size_t hits, count;
    double low, high;
  };
  for (const Published& one :
       {Published{81, 263, 0.2553, 0.3662}, {15, 148, 0.0624, 0.1605}, {0, 20, 0.0, 0.1611}, {1, 29, 0.0061, 0.1718}}) {
    const app::Interval found = app::wilson_interval(one.hits, one.count);
    CHECK_THAT(found.low, WithinAbs(one.low, 5.1e-5));
    CHECK_THAT(found.high, WithinAbs(one.high, 5.1e-5));
  }
  CHECK(app::wilson_interval(0, 0).low == 0.0);
  CHECK(app::wilson_interval(0, 0).high == 1.0);
  CHECK_THAT(app::wilson_interval(12, 12).high, WithinAbs(1.0, 1e-12));
}

TEST_CASE("chi-square agrees with its closed forms and tables", "[figures]") {
  for (const double x : {0.01, 0.5, 1.0, 3.0, 10.0, 40.0}) {
    CHECK_THAT(calib::chi_square_cdf(x, 2.0), WithinAbs(1.0 - std::exp(-0.5 * x), 1e-14));
    CHECK_THAT(calib::chi_square_cdf(x, 1.0), WithinAbs(std::erf(std::sqrt(0.5 * x)), 1e-14));
    CHECK_THAT(calib::chi_square_cdf(x, 4.0), WithinAbs(1.0 - std::exp(-0.5 * x) * (1.0 + 0.5 * x), 1e-14));
  }
  // Any table of chi-square.
  CHECK_THAT(calib::chi_square_quantile(0.95, 1.0), WithinAbs(3.841, 5e-4));
  CHECK_THAT(calib::chi_square_quantile(0.975, 10.0), WithinAbs(20.483, 5e-4));
  CHECK_THAT(calib::chi_square_quantile(0.025, 30.0), WithinAbs(16.791, 5e-4));
  CHECK_THAT(calib::normal_quantile(0.975), WithinAbs(1.959964, 1e-6));
  CHECK(std::isnan(calib::chi_square_quantile(1.0, 3.0)));
}

TEST_CASE("angles on both sides of half a turn have their mean there", "[figures]") {
  const std::vector<double> around{178.0, -178.0, 179.0, -179.0};
  CHECK_THAT(std::abs(app::circular(around).mean_deg), WithinAbs(180.0, 1e-12));
  CHECK_THAT(std::abs(app::circular_median_deg(around)), WithinAbs(180.0, 1e-9));
  // Close together the circle is a line: its mean, spread and interval are the line's.
  const std::vector<double> angles = bell(60, 0.4, 0.5, 3);
  const app::Univariate line = app::univariate(angles);
  const app::Circular circle = app::circular(angles);
  CHECK_THAT(circle.mean_deg, WithinAbs(line.mean, 1e-5));
  CHECK_THAT(circle.circular_sd_deg, WithinRel(line.sd * std::sqrt(59.0 / 60.0), 1e-4));
  CHECK_THAT(*app::interval_of_direction_deg(circle), WithinRel(1.959964 * line.sd / std::sqrt(60.0), 0.03));
  // Opposite angles have no mean, and none is given.
  const std::vector<double> opposite{0.0, 90.0, 180.0, -90.0};
  CHECK(std::isnan(app::circular(opposite).mean_deg));
  CHECK_FALSE(app::interval_of_direction_deg(app::circular(opposite)));
  CHECK(std::isnan(app::circular({}).mean_deg));
  const std::vector<double> same(5, 12.5);
  CHECK_THAT(app::circular(same).circular_sd_deg, WithinAbs(0.0, 1e-12));
}

// One hand-made row for each of the rules, and for its mirror image.
TEST_CASE("each rule of a control chart fires on its own pattern, on its side, and no sooner", "[figures]") {
  struct Row {
    app::ControlRule rule;
    std::vector<double> values;  // completed by the last one
  };
  using Rule = app::ControlRule;
  const std::vector<Row> rows{{Rule::beyond_3_sigma, {0.1, -0.2, 3.01}},
                              {Rule::two_beyond_2, {0.1, 2.1, -0.4, 2.2}},
                              {Rule::four_beyond_1, {-0.3, 1.1, 1.2, -0.1, 1.3, 1.4}},
                              {Rule::eight_on_one_side, {-0.2, 0.1, 0.2, 0.5, 0.4, 0.3, 0.9, 0.2, 0.1}}};
  for (const Row& row : rows)
    for (const double side : {1.0, -1.0}) {
      std::vector<double> values = row.values;
      for (double& value : values) value = 10.0 + 2.0 * side * value;
      const auto signals = app::control_signals(values, 10.0, 2.0);
      REQUIRE(signals.size() == 1);
      CHECK(signals[0].rule == row.rule);
      CHECK(signals[0].at == values.size() - 1);
      CHECK(signals[0].above == (side > 0.0));
      values.pop_back();
      CHECK(app::control_signals(values, 10.0, 2.0).empty());
    }
  // Exactly on a line is not beyond it, and a chart without scatter says nothing.
  const std::vector<double> on_the_line{3.0, 2.0, 2.0, 1.0};
  CHECK(app::control_signals(on_the_line, 0.0, 1.0).empty());
  CHECK(app::control_signals(on_the_line, 0.0, 0.0).empty());
  CHECK(std::isnan(app::individuals_chart(std::vector<double>{1.0}).sigma));
}

TEST_CASE("the test of a bell curve rejects what is none, and one in twenty of what is", "[figures]") {
  int rejected = 0, exponential_kept = 0;
  for (std::uint64_t seed = 1; seed <= 600; ++seed) {
    rejected += app::bell_curve_p(bell(40, 3.0, 0.7, seed)) < 0.05 ? 1 : 0;
    std::vector<double> skewed = bell(40, 0.0, 1.0, 5000 + seed);
    for (double& value : skewed) value = std::exp(value);
    exponential_kept += app::bell_curve_p(skewed) < 0.05 ? 0 : 1;
  }
  // 30 expected, standard deviation 5.3.
  CHECK(rejected > 14);
  CHECK(rejected < 46);
  CHECK(exponential_kept < 6);
  CHECK(std::isnan(app::bell_curve_p(std::vector<double>(20, 1.0))));
  CHECK(std::isnan(app::bell_curve_p(bell(7, 0.0, 1.0, 1))));
}

TEST_CASE("capability says when its data are too few or no bell curve", "[figures]") {
  const app::Capability few = app::capability(bell(12, 0.0, 1.0, 1), {-3.0, 3.0});
  CHECK(few.too_few);
  CHECK_FALSE(few.no_bell_curve);
  std::vector<double> skewed = bell(80, 0.0, 1.0, 2);
  for (double& value : skewed) value = std::exp(value);
  CHECK(app::capability(skewed, {0.0, 20.0}).no_bell_curve);
  // A drift: neighbours differ little, all together much.
  std::vector<double> drift = bell(60, 0.0, 0.2, 4);
  for (std::size_t i = 0; i < drift.size(); ++i) drift[i] += 0.05 * static_cast<double>(i) - 1.5;
  const app::Capability drifting = app::capability(drift, {-3.0, 3.0});
  CHECK(drifting.shortly.cpk.value > 2.0 * drifting.throughout.cpk.value);
  // The mean outside the tolerance: a negative index, its interval still in order.
  const app::CapabilityIndices outside = app::capability_indices(4.0, 1.0, 50, {-3.0, 3.0});
  CHECK_THAT(outside.cpk.value, WithinAbs(-1.0 / 3.0, 1e-12));
  CHECK(outside.cpk.interval.low < outside.cpk.interval.high);
  CHECK(std::isnan(app::capability_indices(0.0, 0.0, 50, {-1.0, 1.0}).cp.value));
}

// The circle of an even, centred bell curve: P(r < R) = 1 - exp(-R^2 / 2 sigma^2) (Rayleigh).
TEST_CASE("the share within a circle follows the closed form and a simulation", "[figures]") {
  for (const double radius : {0.3, 1.0, 2.4477, 4.0})
    CHECK_THAT(app::share_within(radius, {0.0, 0.0}, {1.0, 0.0, 0.0, 1.0}),
               WithinAbs(1.0 - std::exp(-0.5 * radius * radius), 1e-9));
  std::mt19937_64 random(7);
  std::normal_distribution<double> curve;
  int within = 0;
  constexpr int kCount = 200000;
  for (int i = 0; i < kCount; ++i) {
    const double a = curve(random), b = curve(random);
    within += std::hypot(0.8 + 1.5 * a, -0.5 + 0.6 * a + 0.7 * b) < 2.5 ? 1 : 0;
  }
  const double share = app::share_within(2.5, {0.8, -0.5}, {2.25, 0.9, 0.9, 0.36 + 0.49});
  CHECK_THAT(share, WithinAbs(static_cast<double>(within) / kCount, 0.004));  // 4 standard deviations
  CHECK(app::share_within(0.0, {0.0, 0.0}, {1.0, 0.0, 0.0, 1.0}) == 0.0);
}

TEST_CASE("the circle of 95 of 100 holds them, by order where there are enough pieces", "[figures]") {
  const auto pieces = [](std::size_t count, std::uint64_t seed) {
    const std::vector<double> x = bell(count, 0.5, 1.0, seed), y = bell(count, 0.0, 1.0, seed + 1000000);
    std::vector<cv::Point2d> offsets(count);
    for (std::size_t i = 0; i < count; ++i) offsets[i] = {x[i], y[i]};
    return offsets;
  };
  double low = 0.0, high = 9.0;  // the true radius
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (app::share_within(middle, {0.5, 0.0}, {1.0, 0.0, 0.0, 1.0}) < 0.95 ? low : high) = middle;
  }
  double few = 0.0;
  int covered = 0;
  constexpr int kRuns = 300;
  for (std::uint64_t run = 1; run <= kRuns; ++run) {
    const app::HoldingCircle small = app::holding_circle(pieces(25, run));
    CHECK_FALSE(small.by_order);
    few += small.radius_mm / kRuns;
    const app::HoldingCircle large = app::holding_circle(pieces(150, 5000 + run));
    REQUIRE(large.by_order);
    covered += large.interval->low <= low && low <= large.interval->high ? 1 : 0;
  }
  CHECK_THAT(few, WithinRel(low, 0.05));
  // Order statistics cover at least 95 %: 285, less three standard deviations of 3.8.
  CHECK(covered >= 274);
  CHECK(std::isnan(app::holding_circle(pieces(2, 1)).radius_mm));
}

TEST_CASE("a bias is told from scatter", "[figures]") {
  int seen_without = 0, seen_with = 0;
  for (std::uint64_t run = 1; run <= 400; ++run) {
    std::vector<cv::Point2d> offsets(20);
    const std::vector<double> x = bell(20, 0.0, 1.0, run), y = bell(20, 0.0, 2.0, run + 7000);
    for (std::size_t i = 0; i < 20; ++i) offsets[i] = {x[i] + 0.3 * y[i], y[i]};
    seen_without += app::offset_scatter(offsets).no_bias_p < 0.05 ? 1 : 0;
    for (cv::Point2d& p : offsets) p.x += 1.5;
    seen_with += app::offset_scatter(offsets).no_bias_p < 0.05 ? 1 : 0;
  }
  CHECK(seen_without > 7);  // 20 expected, standard deviation 4.4
  CHECK(seen_without < 34);
  CHECK(seen_with > 390);
}

// All 70 ways to divide eight values into four and four.
TEST_CASE("the permutation test approaches the count of all divisions", "[figures]") {
  const std::vector<double> a{1.2, 3.4, 2.2, 4.1}, b{2.9, 5.0, 4.4, 6.3};
  std::vector<double> all(a);
  all.insert(all.end(), b.begin(), b.end());
  const auto difference = [&](unsigned chosen) {
    double in = 0.0, out = 0.0;
    for (unsigned i = 0; i < 8; ++i) ((chosen >> i) & 1U ? in : out) += all[i];
    return std::abs(in - out) / 4.0;
  };
  int reached = 0, divisions = 0;
  for (unsigned chosen = 0; chosen < 256; ++chosen) {
    if (std::popcount(chosen) != 4) continue;
    ++divisions;
    reached += difference(chosen) >= difference(0x0F) - 1e-12 ? 1 : 0;
  }
  REQUIRE(divisions == 70);
  app::ComparisonOptions many;
  many.shuffles = 20000;
  CHECK_THAT(app::permutation_p(a, b, many), WithinAbs(reached / 70.0, 0.01));
  CHECK(app::permutation_p(a, {}, many) == 1.0);
}

TEST_CASE("people are ranked only where the data tell them apart", "[figures]") {
  app::ComparisonOptions options;
  options.shuffles = 1000;
  const app::Comparison apart =
      app::compare({bell(40, 2.0, 0.5, 1), bell(40, 1.0, 0.5, 2), bell(40, 3.0, 0.5, 3)}, options);
  CHECK(apart.ranked);
  CHECK(apart.groups[1].rank == 1);
  CHECK(apart.groups[0].rank == 2);
  CHECK(apart.groups[2].rank == 3);
  // Two of three alike: no ranking, though not all are alike.
  const app::Comparison mixed =
      app::compare({bell(40, 2.0, 0.5, 4), bell(40, 2.02, 0.5, 5), bell(40, 3.0, 0.5, 6)}, options);
  CHECK(mixed.p < 0.05);
  CHECK_FALSE(mixed.ranked);
  CHECK(mixed.groups[2].rank == 0);
  // A beginner's five pieces are shown, and compared with nobody.
  const app::Comparison few = app::compare({bell(5, 9.0, 0.5, 7), bell(40, 1.0, 0.5, 8)}, options);
  CHECK_FALSE(few.groups[0].compared);
  CHECK(few.pairs.empty());
  CHECK_FALSE(few.ranked);
  int ranked_by_chance = 0;
  options.shuffles = 200;
  for (std::uint64_t run = 1; run <= 100; ++run)
    ranked_by_chance += app::compare({bell(20, 1.0, 0.5, 100 + run), bell(20, 1.0, 0.5, 900 + run)}, options).ranked;
  CHECK(ranked_by_chance <= 12);  // five expected
}

// Guarantees: tables at the edge have an answer, and so have large ones. Example failure: 0 of 0 divides by zero.
TEST_CASE("the exact test of shares answers for empty, certain and large lots", "[figures]") {
  CHECK(app::fisher_p(0, 0, 3, 9) == 1.0);
  CHECK_THAT(app::fisher_p(7, 7, 9, 9), WithinAbs(1.0, 1e-12));
  CHECK_THAT(app::fisher_p(0, 5, 0, 8), WithinAbs(1.0, 1e-12));
  CHECK(app::fisher_p(0, 100000, 100000, 100000) < 1e-300);
  // Large lots: the bell curve of the difference of shares, 0.98 against 0.979 with its continuity correction.
  const double share = (98000.0 + 97900.0) / 200000.0, sd = std::sqrt(share * (1.0 - share) * 2.0 / 100000.0);
  const double z = (0.001 - 1.0 / 100000.0) / sd;
  CHECK_THAT(app::fisher_p(98000, 100000, 97900, 100000), WithinAbs(std::erfc(z / std::sqrt(2.0)), 1e-3));
}

// By hand: 4 x 0.005, 3 x 0.01, 2 x 0.03, and 0.04 raised to what stands before it.
TEST_CASE("Holm's correction, by hand", "[figures]") {
  std::vector<double> p{0.01, 0.04, 0.03, 0.005};
  app::correct_after_holm(p);
  for (std::size_t i = 0; i < p.size(); ++i)
    CHECK_THAT(p[i], WithinAbs((std::array{0.03, 0.06, 0.06, 0.02})[i], 1e-12));
  app::correct_after_holm({});
}

// Guarantees: the more the values are unlike a bell curve, the smaller its probability. Example failure: beyond a
// statistic of 150 the fitted formula rises again, and a year with gross misses counts as a bell curve.
TEST_CASE("thousands of values with gross misses are no bell curve", "[figures]") {
  std::mt19937_64 random(11);
  std::normal_distribution<double> curve;
  for (const std::size_t count : {100U, 1000U, 4000U, 20000U}) {
    std::vector<double> values(count);
    for (std::size_t i = 0; i < count; ++i) values[i] = curve(random) * (i % 50 == 0 ? 20.0 : 1.0);
    INFO(count);
    CHECK(app::bell_curve_p(values) < 1e-6);
    CHECK(app::capability(values, {-3.0, 3.0}).no_bell_curve);
  }
}

// Guarantees: the 95 % intervals of Cp and Cpk by the moving ranges hold the true index 95 times of 100. Example
// failure: the degrees of freedom are those of a standard deviation, and they hold it 87 times.
TEST_CASE("the intervals of the short-term indices hold what they say", "[figures][accuracy]") {
  std::mt19937_64 random(5);
  std::normal_distribution<double> curve(0.5, 1.0);
  constexpr int kRuns = 2000;
  for (const std::size_t count : {30U, 100U, 400U}) {
    int cp = 0, cpk = 0;
    for (int run = 0; run < kRuns; ++run) {
      std::vector<double> values(count);
      for (double& value : values) value = curve(random);
      const app::CapabilityIndices found = app::capability(values, {-4.0, 4.0}).shortly;
      cp += found.cp.interval.low <= 4.0 / 3.0 && 4.0 / 3.0 <= found.cp.interval.high;
      cpk += found.cpk.interval.low <= 3.5 / 3.0 && 3.5 / 3.0 <= found.cpk.interval.high;
    }
    INFO(count << " values: " << cp << " and " << cpk << " of " << kRuns);
    // 95 % of 2,000 scatter by 0.5 %; few values have a sigma that follows chi-square less well.
    CHECK_THAT(cp / static_cast<double>(kRuns), WithinAbs(0.95, 0.02));
    CHECK_THAT(cpk / static_cast<double>(kRuns), WithinAbs(0.95, 0.02));
  }
}
