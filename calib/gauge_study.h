// A gauge study: how much of the scatter is the gauge's own, how much comes from who uses it, how much is the parts'.
// Parts and operators are random effects, crossed.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "calib/anova.h"

namespace calib {

struct GaugeReading {
  std::string operator_, part;
  double value = 0.0;
};

// Sorted into cells; `parts` and `operators` in the order in which they come. Throws std::invalid_argument, naming the
// cell, where one is empty or holds another number of trials than the first.
struct GaugeTable {
  std::vector<std::string> parts, operators;
  CrossedCells cells;
};
GaugeTable gauge_table(const std::vector<GaugeReading>& readings);

// Variances; what comes out negative is zero.
struct GaugeVariances {
  double repeatability = 0.0;
  double operator_ = 0.0, interaction = 0.0;
  double part = 0.0;
  double reproducibility() const { return operator_ + interaction; }
  double gauge() const { return repeatability + reproducibility(); }
  double total() const { return gauge() + part; }
};

struct GaugeStudy {
  CrossedAnova anova;
  bool interaction_pooled = false;
  // Against which parts and operators were tested: the interaction, or with it pooled all that is left.
  AnovaLine error;
  AnovaRatio part_test, operator_test;
  GaugeVariances variances;
  int distinct_categories = 0;  // 1.41 times part sd over gauge sd, cut to a whole number, at least 1
};

// The interaction is pooled with the repeats where its probability is above `pool_above` (0.25 is common practice in
// gauge studies; 0 always pools, 1 never), and always where there is one trial a cell.
GaugeStudy gauge_study(const CrossedCells& cells, double pool_above = 0.25);

// The same by averages and ranges, the method of paper forms: 2 or 3 trials and operators, 2 to 10 parts; nothing
// otherwise. Without interaction.
std::optional<GaugeVariances> gauge_by_ranges(const CrossedCells& cells);

}  // namespace calib
