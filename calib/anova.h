// Analysis of variance: one factor, and two crossed factors with the same number of trials in every cell.
//
// Sums are taken of differences from the first value, which are exact where the values share their leading digits, in
// two passes and in long double.
#pragma once

#include <vector>

namespace calib {

struct AnovaLine {
  double ss = 0.0;  // sum of squares
  double dof = 0.0;
  double ms() const { return dof > 0.0 ? ss / dof : 0.0; }
};

// F and the probability of a larger one where there is no effect. NaN without degrees of freedom or without scatter.
struct AnovaRatio {
  double f = 0.0, p = 0.0;
};
AnovaRatio ratio(const AnovaLine& effect, const AnovaLine& error);

struct OneWayAnova {
  double mean = 0.0;  // of all values
  AnovaLine between, within;
  AnovaRatio test;
  double r_squared = 0.0;
  double residual_sd = 0.0;
};
// Two groups or more, none empty; throws std::invalid_argument.
OneWayAnova one_way_anova(const std::vector<std::vector<double>>& groups);

// cells[part][operator] holds the trials.
using CrossedCells = std::vector<std::vector<std::vector<double>>>;

struct CrossedAnova {
  int parts = 0, operators = 0, trials = 0;
  double mean = 0.0;
  AnovaLine part, operator_, interaction, repeat;
  // With the interaction counted as an effect: parts and operators against it, it against the repeats.
  AnovaRatio part_test, operator_test, interaction_test;
};
// Two parts and two operators or more, the same number of trials everywhere, at least one; throws
// std::invalid_argument. With one trial there is no `repeat`: interaction and repeats cannot be told apart.
CrossedAnova crossed_anova(const CrossedCells& cells);

}  // namespace calib
