#include "calib/gauge_study.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>

namespace calib {
namespace {

std::size_t place_in(std::vector<std::string>& names, const std::string& name) {
  const auto found = std::find(names.begin(), names.end(), name);
  if (found != names.end()) return static_cast<std::size_t>(found - names.begin());
  names.push_back(name);
  return names.size() - 1;
}

void check(const GaugeTable& table) {
  const std::size_t trials = table.cells.front().front().size();
  for (std::size_t i = 0; i < table.parts.size(); ++i)
    for (std::size_t j = 0; j < table.operators.size(); ++j)
      if (const std::size_t count = table.cells[i][j].size(); count == 0 || count != trials)
        throw std::invalid_argument("operator '" + table.operators[j] + "' measured part '" + table.parts[i] + "' " +
                                    std::to_string(count) + " times, operator '" + table.operators[0] + "' part '" +
                                    table.parts[0] + "' " + std::to_string(trials) +
                                    " times; every operator must measure every part equally often");
}

double above_zero(double variance) { return std::max(variance, 0.0); }

AnovaLine pooled(const AnovaLine& a, const AnovaLine& b) { return {a.ss + b.ss, a.dof + b.dof}; }

// Expected mean squares of the crossed random model; a parts, b operators, n trials.
GaugeVariances variances_of(const GaugeStudy& study) {
  const CrossedAnova& anova = study.anova;
  GaugeVariances v;
  v.repeatability = study.interaction_pooled ? study.error.ms() : anova.repeat.ms();
  v.operator_ = above_zero((anova.operator_.ms() - study.error.ms()) / (anova.parts * anova.trials));
  v.part = above_zero((anova.part.ms() - study.error.ms()) / (anova.operators * anova.trials));
  if (!study.interaction_pooled)
    v.interaction = above_zero((anova.interaction.ms() - anova.repeat.ms()) / anova.trials);
  return v;
}

int categories(const GaugeVariances& v) {
  constexpr double kForms = 1.41;  // as on the forms, for the root of two
  constexpr double kMany = 9999.0;
  if (!(v.gauge() > 0.0)) return static_cast<int>(kMany);
  return static_cast<int>(std::clamp(std::floor(kForms * std::sqrt(v.part / v.gauge())), 1.0, kMany));
}

double range(const std::vector<double>& values) {
  const auto [low, high] = std::minmax_element(values.begin(), values.end());
  return *high - *low;
}

double mean(const std::vector<double>& values) {
  double sum = 0.0;
  for (const double value : values) sum += value;
  return sum / static_cast<double>(values.size());
}

// 1 / d2* of a single range of 2 to 10 values, and 1 / d2 of the mean of many ranges of 2 or 3: AIAG's K3, K2 and K1
// (from memory; they reproduce the published example).
constexpr std::array<double, 9> kOneRange{0.7071, 0.5231, 0.4467, 0.4030, 0.3742, 0.3534, 0.3375, 0.3249, 0.3146};
constexpr std::array<double, 2> kManyRanges{0.8862, 0.5908};

}  // namespace

GaugeTable gauge_table(const std::vector<GaugeReading>& readings) {
  GaugeTable table;
  for (const GaugeReading& reading : readings) {
    const std::size_t part = place_in(table.parts, reading.part);
    const std::size_t by_operator = place_in(table.operators, reading.operator_);
    table.cells.resize(table.parts.size());
    for (auto& row : table.cells) row.resize(table.operators.size());
    table.cells[part][by_operator].push_back(reading.value);
  }
  if (table.parts.size() < 2 || table.operators.size() < 2)
    throw std::invalid_argument("the study names " + std::to_string(table.operators.size()) + " operators and " +
                                std::to_string(table.parts.size()) + " parts; two of each are the least");
  check(table);
  return table;
}

GaugeStudy gauge_study(const CrossedCells& cells, double pool_above) {
  GaugeStudy study;
  study.anova = crossed_anova(cells);
  const CrossedAnova& anova = study.anova;
  // Without scatter among the repeats the test says nothing, and any interaction is real.
  study.interaction_pooled = anova.trials < 2 || anova.interaction_test.p > pool_above;
  study.error = study.interaction_pooled ? pooled(anova.interaction, anova.repeat) : anova.interaction;
  study.part_test = ratio(anova.part, study.error);
  study.operator_test = ratio(anova.operator_, study.error);
  study.variances = variances_of(study);
  study.distinct_categories = categories(study.variances);
  return study;
}

std::optional<GaugeVariances> gauge_by_ranges(const CrossedCells& cells) {
  const std::size_t parts = cells.size(), operators = cells.front().size(), trials = cells.front().front().size();
  if (parts < 2 || parts > 10 || operators < 2 || operators > 3 || trials < 2 || trials > 3) return std::nullopt;
  std::vector<double> ranges, part_means(parts, 0.0), operator_means(operators, 0.0);
  for (std::size_t i = 0; i < parts; ++i)
    for (std::size_t j = 0; j < operators; ++j) {
      ranges.push_back(range(cells[i][j]));
      part_means[i] += mean(cells[i][j]) / static_cast<double>(operators);
      operator_means[j] += mean(cells[i][j]) / static_cast<double>(parts);
    }
  const double equipment = mean(ranges) * kManyRanges[trials - 2];
  const double appraiser = range(operator_means) * kOneRange[operators - 2];
  const double parts_sd = range(part_means) * kOneRange[parts - 2];
  GaugeVariances v;
  v.repeatability = equipment * equipment;
  v.operator_ = above_zero(appraiser * appraiser - v.repeatability / static_cast<double>(parts * trials));
  v.part = parts_sd * parts_sd;
  return v;
}

}  // namespace calib
