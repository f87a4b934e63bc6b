// Fisher's exact test: the two-by-two tables with the same margins, by how probable each is beside the one found.
#include <algorithm>

#include "app/figures/comparison.h"

namespace app {

// Neighbouring tables' probabilities are a ratio apart, so no factorial is needed: the found table weighs 1.
double fisher_p(std::size_t hits_a, std::size_t n_a, std::size_t hits_b, std::size_t n_b) {
  if (n_a == 0 || n_b == 0) return 1.0;
  const std::size_t hits = hits_a + hits_b;
  const std::size_t least = hits > n_b ? hits - n_b : 0, most = std::min(hits, n_a);
  const auto a = static_cast<double>(n_a), b = static_cast<double>(n_b), k = static_cast<double>(hits);
  // From x hits of the first to x + 1.
  const auto up = [&](std::size_t at) {
    const auto x = static_cast<double>(at);
    return (a - x) * (k - x) / ((x + 1.0) * (b - k + x + 1.0));
  };
  constexpr double kSame = 1.0 + 1e-7;  // equally probable but for rounding
  double all = 1.0, as_far = 1.0;
  const auto weigh = [&](double weight) {
    all += weight;
    if (weight <= kSame) as_far += weight;
  };
  double weight = 1.0;
  for (std::size_t x = hits_a; x < most; ++x) weigh(weight *= up(x));
  weight = 1.0;
  for (std::size_t x = hits_a; x > least; --x) weigh(weight /= up(x - 1));
  return as_far / all;  // 0 where the found one is beyond all doubles
}

}  // namespace app
