#include "calib/anova.h"

#include <cmath>
#include <limits>
#include <stdexcept>

#include "calib/distributions.h"

namespace calib {
namespace {

using Real = long double;

// Mean of the values less `shift`, corrected by the mean of what is left over it.
Real mean_from(const std::vector<double>& values, double shift) {
  const Real count = static_cast<Real>(values.size());
  Real sum = 0.0L, rest = 0.0L;
  for (const double value : values) sum += static_cast<Real>(value) - shift;
  const Real mean = sum / count;
  for (const double value : values) rest += (static_cast<Real>(value) - shift) - mean;
  return mean + rest / count;
}

// Sum of squared distances from `mean`, which is a mean less `shift`.
Real squares_about(const std::vector<double>& values, double shift, Real mean) {
  Real sum = 0.0L;
  for (const double value : values) {
    const Real away = (static_cast<Real>(value) - shift) - mean;
    sum += away * away;
  }
  return sum;
}

AnovaLine line(Real ss, Real dof) { return {static_cast<double>(ss), static_cast<double>(dof)}; }

void check_cells(const CrossedCells& cells) {
  if (cells.size() < 2 || cells.front().size() < 2)
    throw std::invalid_argument("a crossed study needs two parts and two operators or more");
  for (const auto& row : cells) {
    if (row.size() != cells.front().size()) throw std::invalid_argument("a part lacks operators");
    for (const auto& trials : row)
      if (trials.empty() || trials.size() != cells.front().front().size())
        throw std::invalid_argument("every operator must measure every part the same number of times");
  }
}

// Means less the shift: of each cell, part and operator, and of all.
struct CrossedMeans {
  std::vector<std::vector<Real>> cell;
  std::vector<Real> part, by_operator;
  Real all = 0.0L;
};

CrossedMeans means_of(const CrossedCells& cells, double shift) {
  const std::size_t parts = cells.size(), operators = cells.front().size();
  CrossedMeans means;
  means.part.assign(parts, 0.0L);
  means.by_operator.assign(operators, 0.0L);
  for (std::size_t i = 0; i < parts; ++i) {
    means.cell.emplace_back();
    for (std::size_t j = 0; j < operators; ++j) {
      const Real mean = mean_from(cells[i][j], shift);
      means.cell[i].push_back(mean);
      means.part[i] += mean / static_cast<Real>(operators);
      means.by_operator[j] += mean / static_cast<Real>(parts);
      means.all += mean / static_cast<Real>(parts * operators);
    }
  }
  return means;
}

}  // namespace

AnovaRatio ratio(const AnovaLine& effect, const AnovaLine& error) {
  if (!(effect.dof > 0.0 && error.dof > 0.0 && error.ss > 0.0)) {
    constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
    return {kNan, kNan};
  }
  const double f = effect.ms() / error.ms();
  return {f, fisher_tail(f, effect.dof, error.dof)};
}

OneWayAnova one_way_anova(const std::vector<std::vector<double>>& groups) {
  if (groups.size() < 2) throw std::invalid_argument("an analysis of variance needs two groups or more");
  std::vector<double> all;
  for (const auto& group : groups) {
    if (group.empty()) throw std::invalid_argument("a group has no values");
    all.insert(all.end(), group.begin(), group.end());
  }
  const double shift = all.front();
  const Real mean = mean_from(all, shift);
  Real between = 0.0L, within = 0.0L;
  for (const auto& group : groups) {
    const Real group_mean = mean_from(group, shift);
    between += static_cast<Real>(group.size()) * (group_mean - mean) * (group_mean - mean);
    within += squares_about(group, shift, group_mean);
  }
  OneWayAnova result;
  result.mean = static_cast<double>(shift + mean);
  result.between = line(between, static_cast<Real>(groups.size() - 1));
  result.within = line(within, static_cast<Real>(all.size() - groups.size()));
  result.test = ratio(result.between, result.within);
  result.r_squared = static_cast<double>(between / (between + within));
  result.residual_sd = std::sqrt(result.within.ms());
  return result;
}

CrossedAnova crossed_anova(const CrossedCells& cells) {
  check_cells(cells);
  const double shift = cells.front().front().front();
  const CrossedMeans means = means_of(cells, shift);
  const Real a = static_cast<Real>(cells.size()), b = static_cast<Real>(cells.front().size()),
             n = static_cast<Real>(cells.front().front().size());
  Real part = 0.0L, by_operator = 0.0L, interaction = 0.0L, repeat = 0.0L;
  for (const Real mean : means.part) part += b * n * (mean - means.all) * (mean - means.all);
  for (const Real mean : means.by_operator) by_operator += a * n * (mean - means.all) * (mean - means.all);
  for (std::size_t i = 0; i < cells.size(); ++i)
    for (std::size_t j = 0; j < cells.front().size(); ++j) {
      const Real away = means.cell[i][j] - means.part[i] - means.by_operator[j] + means.all;
      interaction += n * away * away;
      repeat += squares_about(cells[i][j], shift, means.cell[i][j]);
    }
  CrossedAnova result;
  result.parts = static_cast<int>(a), result.operators = static_cast<int>(b), result.trials = static_cast<int>(n);
  result.mean = static_cast<double>(shift + means.all);
  result.part = line(part, a - 1);
  result.operator_ = line(by_operator, b - 1);
  result.interaction = line(interaction, (a - 1) * (b - 1));
  result.repeat = line(repeat, a * b * (n - 1));
  result.part_test = ratio(result.part, result.interaction);
  result.operator_test = ratio(result.operator_, result.interaction);
  result.interaction_test = ratio(result.interaction, result.repeat);
  return result;
}

}  // namespace calib
