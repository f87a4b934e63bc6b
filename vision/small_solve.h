// Normal equations of a few unknowns, without a heap.
#pragma once

#include <array>
#include <cmath>
#include <cstddef>

namespace vision {

// Symmetric and positive definite; only the lower triangle of `matrix` is read.
template <std::size_t N>
struct SmallSystem {
  std::array<std::array<double, N>, N> matrix{};
  std::array<double, N> right{};

  // By Cholesky's factors; false where the matrix is not positive definite. `matrix` is overwritten.
  bool solve(std::array<double, N>& x) {
    for (std::size_t i = 0; i < N; ++i) {
      const double before = matrix[i][i];
      for (std::size_t j = 0; j <= i; ++j) {
        double sum = matrix[i][j];
        for (std::size_t k = 0; k < j; ++k) sum -= matrix[i][k] * matrix[j][k];
        if (i != j) {
          matrix[i][j] = sum / matrix[j][j];
        } else {
          if (!(sum > 1e-12 * before)) return false;
          matrix[i][i] = std::sqrt(sum);
        }
      }
    }
    for (std::size_t i = 0; i < N; ++i) {
      double sum = right[i];
      for (std::size_t k = 0; k < i; ++k) sum -= matrix[i][k] * x[k];
      x[i] = sum / matrix[i][i];
    }
    for (std::size_t i = N; i-- > 0;) {
      double sum = x[i];
      for (std::size_t k = i + 1; k < N; ++k) sum -= matrix[k][i] * x[k];
      x[i] = sum / matrix[i][i];
    }
    return true;
  }
};

}  // namespace vision
