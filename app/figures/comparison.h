// Whether some people's (or hoops', or cloths') figures differ, or only seem to: permutation tests and the bootstrap,
// which suppose nothing about the curve; for many values, whose means follow a bell curve whatever their own curve is,
// the t and F tests that they approach. Numbers in, numbers out; the same input gives the same answer.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "app/figures/univariate.h"

namespace app {

struct ComparisonOptions {
  int shuffles = 4000;     // of a permutation test; also resamples of the bootstrap
  double level = 0.05;     // below it a difference counts
  std::size_t least = 10;  // values of a group; smaller groups are not compared
  std::uint64_t seed = 1;
  // More values than this in all are compared by B. L. Welch's t test (Biometrika 34 (1947) 28-35), by Fisher's F and
  // by Student's interval: shuffling would take seconds and say the same. Groups of fewer than `least_for_t` are
  // shuffled all the same.
  std::size_t most_shuffled = 2000;
  std::size_t least_for_t = 100;
};

// Of a group's mean by the bootstrap (percentiles; B. Efron, Ann. Statist. 7 (1979) 1-26).
Interval bootstrap_interval_of_mean(std::span<const double> values, double confidence = 0.95,
                                    const ComparisonOptions& options = {});

// The probability of so large a difference of the means, either way, where the groups are shuffled at random; the
// given order counts as one of the shuffles.
double permutation_p(std::span<const double> a, std::span<const double> b, const ComparisonOptions& options = {});

// The same by whichever test the count calls for.
double difference_p(std::span<const double> a, std::span<const double> b, const ComparisonOptions& options = {});

// The probability, either way, of shares so far apart where both are drawn from one lot: hits of n, and hits of n. The
// exact test of R. A. Fisher, The Design of Experiments (1935), chapter 2. Needs hits <= n; 1 where a side is empty.
double fisher_p(std::size_t hits_a, std::size_t n_a, std::size_t hits_b, std::size_t n_b);

// Probabilities of tests that stand side by side, made as large as looking at all of them asks for, in place:
// S. Holm, Scand. J. Statist. 6 (1979) 65-70.
void correct_after_holm(std::span<double> p);

struct GroupFigures {
  std::size_t count = 0;
  double mean = 0.0;
  Interval interval;      // of the mean, 95 %
  bool compared = false;  // enough values
  // Groups of one rank cannot be told apart from one another, as a whole; 1 is the lowest mean. 0: no rank.
  int rank = 0;
};
struct GroupPair {
  std::size_t a = 0, b = 0;
  double p = 1.0;  // after Holm, for all the pairs
  bool differ = false;
};
struct Comparison {
  std::vector<GroupFigures> groups;  // as given
  double p = 1.0;                    // that all are alike: of the sum of squares between groups
  std::vector<GroupPair> pairs;      // of compared groups
  // Only where all are not alike and every neighbour in the order of means differs: then `rank` is set.
  bool ranked = false;
};
Comparison compare(const std::vector<std::vector<double>>& groups, const ComparisonOptions& options = {});

}  // namespace app
