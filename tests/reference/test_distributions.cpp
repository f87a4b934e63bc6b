// Guarantees: quantiles and coverage factors are those of the published tables.
// Example failure: k for few readings comes out as 2 and small studies pass that should not.
#include <cmath>
#include <limits>

#include "calib/distributions.h"
#include "calib/uncertainty.h"
#include "tests/catch.h"

TEST_CASE("Student's t is that of the tables", "[statistics]") {
  // JCGM 100:2008, table G.2, column 95.45 % (values from memory).
  const std::pair<double, double> g2[] = {{1, 13.97}, {2, 4.53}, {3, 3.31},  {4, 2.87},  {5, 2.65}, {6, 2.52},
                                          {7, 2.43},  {8, 2.37}, {10, 2.28}, {20, 2.13}, {50, 2.05}};
  for (const auto& [dof, t] : g2) {
    INFO(dof);
    CHECK_THAT(calib::coverage_factor(dof), WithinAbs(t, 0.0051));
  }
  CHECK_THAT(calib::coverage_factor(std::numeric_limits<double>::infinity()), WithinAbs(2.0, 3e-5));
  // Upper 2.5 % points (NIST/SEMATECH e-Handbook 1.3.6.7.2, from memory).
  CHECK_THAT(calib::student_quantile(0.975, 1), WithinAbs(12.706, 5e-4));
  CHECK_THAT(calib::student_quantile(0.975, 5), WithinAbs(2.571, 5e-4));
  CHECK_THAT(calib::student_quantile(0.975, 30), WithinAbs(2.042, 5e-4));
  // JCGM 100 H.1: t_0.99(16) = 2.92 (from memory).
  CHECK_THAT(calib::coverage_factor(16, 0.99), WithinAbs(2.92, 0.005));
  // Closed forms: one degree of freedom is Cauchy's distribution, two have t / sqrt(2 + t^2).
  for (const double t : {-3.0, -0.2, 0.0, 0.7, 40.0}) {
    CHECK_THAT(calib::student_cdf(t, 1), WithinAbs(0.5 + std::atan(t) / std::acos(-1.0), 1e-13));
    CHECK_THAT(calib::student_cdf(t, 2), WithinAbs(0.5 + 0.5 * t / std::sqrt(2.0 + t * t), 1e-13));
  }
}

TEST_CASE("Fisher's F is that of the tables", "[statistics]") {
  // Upper 5 % points (NIST/SEMATECH e-Handbook 1.3.6.7.3, from memory).
  CHECK_THAT(calib::fisher_quantile(0.95, 1, 1), WithinAbs(161.448, 6e-4));
  CHECK_THAT(calib::fisher_quantile(0.95, 2, 10), WithinAbs(4.103, 6e-4));
  CHECK_THAT(calib::fisher_quantile(0.95, 5, 20), WithinAbs(2.711, 6e-4));
  CHECK_THAT(calib::fisher_quantile(0.95, 10, 10), WithinAbs(2.978, 6e-4));
  // NCSLI's example, as sandialabs/suncal tests it: F crit and p.
  CHECK_THAT(calib::fisher_quantile(0.95, 3, 36), WithinAbs(2.866266, 1e-6));
  CHECK_THAT(calib::fisher_tail(0.0850416, 3, 36), WithinAbs(0.96777478, 1e-6));
  // Closed form with two upper degrees of freedom: (1 + 2 f / n)^(-n / 2); and t^2 is F(1, n).
  for (const double f : {0.01, 1.0, 7.0, 1000.0}) {
    CHECK_THAT(calib::fisher_tail(f, 2, 7.5), WithinRel(std::pow(1.0 + 2.0 * f / 7.5, -3.75), 1e-12));
    CHECK_THAT(calib::fisher_tail(f, 1, 9), WithinRel(2.0 * calib::student_cdf(-std::sqrt(f), 9), 1e-11));
  }
  for (const double p : {1e-6, 0.01, 0.5, 0.99, 1.0 - 1e-9})
    CHECK_THAT(calib::fisher_cdf(calib::fisher_quantile(p, 3.3, 8.1), 3.3, 8.1), WithinRel(p, 1e-10));
  // Rayleigh's distribution: the length of two coordinates of sigma 1 lies below sqrt(-2 ln(1 - P)).
  CHECK_THAT(calib::coverage_factor_in_plane(1e9), WithinAbs(std::sqrt(-2.0 * std::log(1.0 - calib::kCoverage)), 1e-4));
}

TEST_CASE("what is no distribution gives no number", "[statistics]") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  for (const double value :
       {calib::student_quantile(0.975, 0), calib::student_quantile(1.0, 5), calib::student_quantile(nan, 5),
        calib::student_cdf(nan, 5), calib::fisher_cdf(-1.0, 2, 2), calib::fisher_quantile(0.0, 2, 2),
        calib::fisher_tail(1.0, nan, 2), calib::incomplete_beta(1.0, 1.0, 1.1)})
    CHECK(std::isnan(value));
}

TEST_CASE("effective degrees of freedom are those of Welch and Satterthwaite", "[statistics]") {
  const double infinity = std::numeric_limits<double>::infinity();
  // sandialabs/suncal test_DEGF.
  const calib::VariancePart two[] = {{0.57 * 0.57, 9}, {0.25 * 0.25, infinity}};
  CHECK_THAT(calib::effective_dof(two), WithinAbs(12.8, 0.05));
  // JCGM 100:2008, H.1: the difference of the gauges, and all of it, nm. The guide puts u rounded to 9.7 nm in, which
  // alone makes 25.6 of 25.4.
  const calib::VariancePart difference[] = {{5.8 * 5.8, 24}, {3.9 * 3.9, 5}, {6.7 * 6.7, 8}};
  CHECK_THAT(calib::effective_dof(difference), WithinAbs(25.6, 0.2));
  const calib::VariancePart all[] = {{25.0 * 25.0, 18}, {9.7 * 9.7, 25.6}, {2.9 * 2.9, 50}, {16.6 * 16.6, 2}};
  CHECK_THAT(calib::effective_dof(all), WithinAbs(16.7, 0.1));
  const calib::VariancePart none[] = {{0.0, 0}};
  CHECK(std::isinf(calib::effective_dof(none)));
  const calib::VariancePart unknown[] = {{1.0, 0}};
  CHECK(std::isnan(calib::effective_dof(unknown)));
}
