// Control charts: whether a row of figures, in the order of time, holds still.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "app/figures/univariate.h"

namespace app {

// Individuals and moving ranges of two (NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2).
struct IndividualsChart {
  double centre = 0.0;
  double mean_range = 0.0;   // of neighbours
  double sigma = 0.0;        // mean_range / d2
  Interval limits;           // centre -+ 3 sigma
  double range_limit = 0.0;  // D4 mean_range
};
// d2 of two values is 2 / sqrt(pi). NaN for fewer than two values.
IndividualsChart individuals_chart(std::span<const double> values);

// The rules of the Western Electric Company's Statistical Quality Control Handbook (1956).
enum class ControlRule {
  beyond_3_sigma,     // one
  two_beyond_2,       // two of three on one side
  four_beyond_1,      // four of five on one side
  eight_on_one_side,  // of the centre, in a row
};
struct ControlSignal {
  ControlRule rule = ControlRule::beyond_3_sigma;
  std::size_t at = 0;  // the value that completes it
  bool above = false;
};
// In the order of `at`. Each value completes a rule at most once a side.
std::vector<ControlSignal> control_signals(std::span<const double> values, double centre, double sigma);

// Exponentially weighted moving average (e-Handbook 6.3.2.4): z = lambda x + (1 - lambda) z before.
struct EwmaChart {
  std::vector<double> z;
  std::vector<Interval> limits;  // of each
};
struct EwmaOptions {
  double lambda = 0.2;       // 0 to 1: small ones look further back
  double width_sigma = 3.0;  // of the limits
  bool settled = false;      // the limits of an endless row for all values, instead of each one's own
};
EwmaChart ewma_chart(std::span<const double> values, double centre, double sigma, const EwmaOptions& options = {});

}  // namespace app
