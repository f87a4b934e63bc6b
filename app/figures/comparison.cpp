#include "app/figures/comparison.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <random>

#include "calib/distributions.h"

namespace app {
namespace {

using Generator = std::mt19937_64;

// std::uniform_int_distribution is not the same everywhere.
std::size_t below(Generator& random, std::size_t count) { return static_cast<std::size_t>(random() % count); }

double mean_of(std::span<const double> values) {
  return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

// Puts a random choice of `count` values first.
void shuffle_front(std::vector<double>& values, std::size_t count, Generator& random) {
  for (std::size_t i = 0; i < count; ++i) std::swap(values[i], values[i + below(random, values.size() - i)]);
}

// Sum of squares between consecutive groups of these sizes, up to what all shuffles share.
double between(std::span<const double> pooled, const std::vector<std::size_t>& sizes) {
  double sum = 0.0;
  std::size_t at = 0;
  for (const std::size_t size : sizes) {
    double group = 0.0;
    for (std::size_t i = 0; i < size; ++i) group += pooled[at + i];
    sum += group * group / static_cast<double>(size);
    at += size;
  }
  return sum;
}

// Shuffles that reach `found`, rounding aside.
template <class Statistic>
double share_reaching(double found, const ComparisonOptions& options, const Statistic& next) {
  const double least = found - 1e-9 * std::max(1.0, std::abs(found));
  int reached = 1;
  for (int i = 1; i < options.shuffles; ++i) reached += next() >= least ? 1 : 0;
  return static_cast<double>(reached) / options.shuffles;
}

using Groups = std::vector<std::vector<double>>;

std::size_t count_of(const Groups& groups) {
  return std::accumulate(groups.begin(), groups.end(), std::size_t{0},
                         [](std::size_t sum, const auto& group) { return sum + group.size(); });
}

bool by_t(const ComparisonOptions& options, std::size_t of_all, std::size_t smallest) {
  return of_all > options.most_shuffled && smallest >= options.least_for_t;
}

// P(so large a ratio of the mean squares between and within groups).
double p_of_all_by_f(const Groups& groups) {
  const auto n = static_cast<double>(count_of(groups)), k = static_cast<double>(groups.size());
  double mean = 0.0, between = 0.0, within = 0.0;
  for (const auto& group : groups) mean += std::accumulate(group.begin(), group.end(), 0.0) / n;
  for (const auto& group : groups) {
    const Univariate figures = univariate(group);
    const auto count = static_cast<double>(group.size());
    between += count * (figures.mean - mean) * (figures.mean - mean);
    within += (count - 1.0) * figures.sd * figures.sd;
  }
  if (!(within > 0.0)) return between > 0.0 ? 0.0 : 1.0;
  return calib::fisher_tail((between / (k - 1.0)) / (within / (n - k)), k - 1.0, n - k);
}

double p_of_pair_by_t(std::span<const double> a, std::span<const double> b) {
  const Univariate one = univariate(a), other = univariate(b);
  const auto n = static_cast<double>(one.count), m = static_cast<double>(other.count);
  const double u = one.sd * one.sd / n, v = other.sd * other.sd / m;
  const double difference = std::abs(one.mean - other.mean);
  if (!(u + v > 0.0)) return difference > 0.0 ? 0.0 : 1.0;
  const double dof = (u + v) * (u + v) / (u * u / (n - 1.0) + v * v / (m - 1.0));
  return 2.0 * calib::student_cdf(-difference / std::sqrt(u + v), dof);
}

double p_of_all(const Groups& groups, const ComparisonOptions& options) {
  std::vector<double> pooled;
  std::vector<std::size_t> sizes;
  for (const auto& group : groups) {
    pooled.insert(pooled.end(), group.begin(), group.end());
    sizes.push_back(group.size());
  }
  const double mean = mean_of(pooled);
  for (double& value : pooled) value -= mean;
  Generator random(options.seed);
  const double found = between(pooled, sizes);
  return share_reaching(found, options, [&] {
    shuffle_front(pooled, pooled.size(), random);
    return between(pooled, sizes);
  });
}

void correct_pairs(std::vector<GroupPair>& pairs, double level) {
  std::vector<double> p;
  for (const GroupPair& pair : pairs) p.push_back(pair.p);
  correct_after_holm(p);
  for (std::size_t i = 0; i < pairs.size(); ++i) {
    pairs[i].p = p[i];
    pairs[i].differ = p[i] < level;
  }
}

// Ranks only where every neighbour in the order of means differs.
void rank(Comparison& comparison, double level) {
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < comparison.groups.size(); ++i)
    if (comparison.groups[i].compared) order.push_back(i);
  std::sort(order.begin(), order.end(),
            [&](std::size_t i, std::size_t j) { return comparison.groups[i].mean < comparison.groups[j].mean; });
  const auto differ = [&](std::size_t i, std::size_t j) {
    return std::any_of(comparison.pairs.begin(), comparison.pairs.end(), [&](const GroupPair& pair) {
      return pair.differ && ((pair.a == i && pair.b == j) || (pair.a == j && pair.b == i));
    });
  };
  comparison.ranked = order.size() > 1 && comparison.p < level;
  for (std::size_t i = 0; i + 1 < order.size(); ++i)
    comparison.ranked = comparison.ranked && differ(order[i], order[i + 1]);
  if (!comparison.ranked) return;
  for (std::size_t i = 0; i < order.size(); ++i) comparison.groups[order[i]].rank = static_cast<int>(i) + 1;
}

}  // namespace

Interval bootstrap_interval_of_mean(std::span<const double> values, double confidence,
                                    const ComparisonOptions& options) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  if (values.size() < 2) return {nan, nan};
  Generator random(options.seed);
  std::vector<double> means(static_cast<std::size_t>(options.shuffles));
  for (double& mean : means) {
    double sum = 0.0;
    for (std::size_t i = 0; i < values.size(); ++i) sum += values[below(random, values.size())];
    mean = sum / static_cast<double>(values.size());
  }
  std::sort(means.begin(), means.end());
  const auto at = [&](double share) {
    return means[std::min(means.size() - 1, static_cast<std::size_t>(share * static_cast<double>(means.size())))];
  };
  return {at(0.5 - 0.5 * confidence), at(0.5 + 0.5 * confidence)};
}

double permutation_p(std::span<const double> a, std::span<const double> b, const ComparisonOptions& options) {
  if (a.empty() || b.empty()) return 1.0;
  std::vector<double> pooled(a.begin(), a.end());
  pooled.insert(pooled.end(), b.begin(), b.end());
  const double all = std::accumulate(pooled.begin(), pooled.end(), 0.0);
  const auto n = static_cast<double>(a.size()), m = static_cast<double>(b.size());
  const auto difference = [&] {
    const double front = std::accumulate(pooled.begin(), pooled.begin() + static_cast<std::ptrdiff_t>(a.size()), 0.0);
    return std::abs(front / n - (all - front) / m);
  };
  Generator random(options.seed);
  const double found = difference();
  return share_reaching(found, options, [&] {
    shuffle_front(pooled, a.size(), random);
    return difference();
  });
}

namespace {

// Only the smaller group need be drawn.
double p_of_pair(std::span<const double> a, std::span<const double> b, std::size_t of_all,
                 const ComparisonOptions& options) {
  if (a.size() > b.size()) std::swap(a, b);
  return by_t(options, of_all, a.size()) ? p_of_pair_by_t(a, b) : permutation_p(a, b, options);
}

}  // namespace

Comparison compare(const std::vector<std::vector<double>>& groups, const ComparisonOptions& options) {
  Comparison comparison;
  const std::size_t count = count_of(groups);
  std::vector<std::vector<double>> compared;
  for (const auto& group : groups) {
    GroupFigures figures;
    figures.count = group.size();
    figures.mean = group.empty() ? std::numeric_limits<double>::quiet_NaN() : mean_of(group);
    figures.interval = by_t(options, count, group.size()) ? interval_of_mean(univariate(group))
                                                          : bootstrap_interval_of_mean(group, 0.95, options);
    figures.compared = group.size() >= options.least;
    if (figures.compared) compared.push_back(group);
    comparison.groups.push_back(figures);
  }
  if (compared.size() < 2) return comparison;
  comparison.p = count > options.most_shuffled ? p_of_all_by_f(compared) : p_of_all(compared, options);
  for (std::size_t i = 0; i < groups.size(); ++i)
    for (std::size_t j = i + 1; j < groups.size(); ++j)
      if (comparison.groups[i].compared && comparison.groups[j].compared)
        comparison.pairs.push_back({i, j, p_of_pair(groups[i], groups[j], count, options), false});
  correct_pairs(comparison.pairs, options.level);
  rank(comparison, options.level);
  return comparison;
}

double difference_p(std::span<const double> a, std::span<const double> b, const ComparisonOptions& options) {
  return p_of_pair(a, b, a.size() + b.size(), options);
}

void correct_after_holm(std::span<double> p) {
  std::vector<std::size_t> order(p.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::sort(order.begin(), order.end(), [&](std::size_t i, std::size_t j) { return p[i] < p[j]; });
  double most = 0.0;
  for (std::size_t i = 0; i < order.size(); ++i) {
    most = std::max(most, std::min(1.0, p[order[i]] * static_cast<double>(order.size() - i)));
    p[order[i]] = most;
  }
}

}  // namespace app
