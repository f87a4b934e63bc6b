// How well a row of figures keeps within its tolerance: Cp, Cpk (short term) and Ppk (all of the time).
// NIST/SEMATECH e-Handbook of Statistical Methods, 6.1.6.
#pragma once

#include <cstddef>
#include <optional>
#include <span>

#include "app/figures/univariate.h"

namespace app {

struct CapabilityIndex {
  double value = 0.0;
  Interval interval;
};

// Cp = (high - low) / 6 sigma; Cpk = the nearer limit's distance from the mean / 3 sigma. Interval of Cp by
// chi-square, of Cpk after A. F. Bissell, "How reliable is your capability index?", Applied Statistics 39 (1990)
// 331-340; both suppose a bell curve. `count`: values; `dof`: degrees of freedom of sigma, count - 1 where it is the
// standard deviation of them all.
struct CapabilityIndices {
  CapabilityIndex cp, cpk;
};
CapabilityIndices capability_indices(double mean, double sigma, std::size_t count, Interval tolerance,
                                     double confidence = 0.95, std::optional<double> dof = std::nullopt);

// A sigma from the mean of n - 1 moving ranges of two is as sure as a standard deviation of 0.605 (n - 1) degrees of
// freedom: the ranges overlap, and var(sigma) / sigma^2 approaches 0.826 / (n - 1), against 0.5 / (n - 1). From memory;
// the tests draw it.
inline constexpr double kMovingRangeDof = 0.605;

// Anderson and Darling's test of a bell curve with mean and spread from the values: the probability of values so much
// unlike it. Formulas of R. B. D'Agostino and M. A. Stephens, Goodness-of-Fit Techniques (1986), table 4.9 (from
// memory). NaN for fewer than eight, or without scatter.
double bell_curve_p(std::span<const double> values);

struct Capability {
  Univariate figures;
  CapabilityIndices shortly;     // by the moving ranges of neighbours: Cp, Cpk
  CapabilityIndices throughout;  // by all of the scatter: Pp, Ppk
  bool too_few = false;          // fewer than kFewForCapability: the intervals are wide, and the curve unknown
  bool no_bell_curve = false;    // bell_curve_p below 0.01: the share out of tolerance does not follow
};
inline constexpr std::size_t kFewForCapability = 30;  // common practice
inline constexpr std::size_t kEnoughForCurve = 5000;  // of more, evenly chosen ones stand for all

// The values in the order of time.
Capability capability(std::span<const double> values, Interval tolerance, double confidence = 0.95);

}  // namespace app
