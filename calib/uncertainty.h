// Expanded uncertainty after JCGM 100:2008, annex G.
#pragma once

#include <span>

namespace calib {

// The coverage of k = 2 with a normal distribution: k goes to 2 as the degrees of freedom grow.
inline constexpr double kCoverage = 0.9545;

// A part of a variance, and the degrees of freedom of its estimate.
struct VariancePart {
  double variance = 0.0;
  double dof = 0.0;
};

// Welch and Satterthwaite, G.4.1: (sum of variances)^2 / sum of variance^2 / dof. Infinite where all is exact or zero;
// NaN where a part that is not zero has no degrees of freedom.
double effective_dof(std::span<const VariancePart> parts);

// k of U = k u for one quantity (G.3.2), and for the length of a vector of two coordinates with the same u in each,
// whose square over 2 u^2 follows F(2, dof).
double coverage_factor(double dof, double coverage = kCoverage);
double coverage_factor_in_plane(double dof, double coverage = kCoverage);

}  // namespace calib
