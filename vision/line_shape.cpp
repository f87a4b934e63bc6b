#include "vision/line_shape.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "vision/small_solve.h"

namespace vision {
namespace {

constexpr double kFadeMm = 1.5;  // of shadows and roundings
constexpr std::array kSpreadsMm{0.15, 0.25, 0.35, 0.5, 0.7};
constexpr double kPlaceStepMm = 0.08;
constexpr int kPlaces = 5;  // to either side

double step(double x, double spread) { return 0.5 * std::erfc(-x / (spread * std::sqrt(2.0))); }

using Terms = std::array<double, 4>;

Terms edge_terms(double x, double spread) {
  const double beyond = step(x, spread);
  return {1.0, beyond, beyond * std::exp(-std::max(0.0, x) / kFadeMm),
          (1.0 - beyond) * std::exp(std::min(0.0, x) / kFadeMm)};
}

Terms ridge_terms(double x, double spread) {
  return {1.0, std::exp(-0.5 * x * x / (spread * spread)), std::min(0.0, x), std::max(0.0, x)};
}

// A rounded bend from one slope into another. The fourth stays empty.
Terms bend_terms(double x, double spread) {
  const double r = x / spread;
  return {1.0, x, x * (1.0 - step(-x, spread)) + spread / std::sqrt(2.0 * kPi) * std::exp(-0.5 * r * r), 0.0};
}

using TermsOf = Terms (*)(double x, double spread);

double left_over(std::span<const float> light, double mean, double spacing_mm, TermsOf terms, double place,
                 double spread) {
  SmallSystem<4> system;
  double squares = 0.0;
  const double middle = 0.5 * static_cast<double>(light.size() - 1);
  for (size_t i = 0; i < light.size(); ++i) {
    const double x = (static_cast<double>(i) - middle) * spacing_mm - place;
    const Terms j = terms(x, spread);
    const double v = static_cast<double>(light[i]) - mean;
    squares += v * v;
    for (size_t a = 0; a < 4; ++a) {
      for (size_t b = 0; b <= a; ++b) system.matrix[a][b] += j[a] * j[b];
      system.right[a] += j[a] * v;
    }
  }
  const std::array<double, 4> right = system.right;
  // Terms that are nearly alike would make the system indefinite.
  for (size_t a = 0; a < 4; ++a) system.matrix[a][a] = system.matrix[a][a] * (1.0 + 1e-9) + 1e-12;
  std::array<double, 4> x{};
  if (!system.solve(x)) return squares;
  for (size_t a = 0; a < 4; ++a) squares -= x[a] * right[a];
  return squares;
}

}  // namespace

LineShape line_shape(std::span<const float> light, double spacing_mm, LineKind kind) {
  double mean = 0.0, all = 1e-15;
  for (const float v : light) mean += static_cast<double>(v) / static_cast<double>(light.size());
  for (const float v : light) all += (static_cast<double>(v) - mean) * (static_cast<double>(v) - mean);
  std::array<double, 2 * kPlaces + 1> least{};
  const TermsOf terms = kind == LineKind::edge ? edge_terms : ridge_terms;
  double bend = all;
  for (size_t k = 0; k < least.size(); ++k) {
    const double place = (static_cast<double>(k) - kPlaces) * kPlaceStepMm;
    least[k] = all;
    for (const double spread : kSpreadsMm) {
      least[k] = std::min(least[k], left_over(light, mean, spacing_mm, terms, place, spread));
      if (kind == LineKind::ridge)
        bend = std::min(bend, left_over(light, mean, spacing_mm, bend_terms, place, 2.0 * spread));
    }
  }
  const auto k = static_cast<size_t>(std::min_element(least.begin(), least.end()) - least.begin());
  LineShape shape;
  shape.misfit = std::max(0.0, least[k]) / all;
  shape.bend_misfit = std::max(0.0, bend) / all;
  shape.place_mm = (static_cast<double>(k) - kPlaces) * kPlaceStepMm;
  if (k > 0 && k + 1 < least.size()) {
    const double curve = least[k - 1] - 2.0 * least[k] + least[k + 1];
    if (curve > 0.0)
      shape.place_mm += kPlaceStepMm * std::clamp(0.5 * (least[k - 1] - least[k + 1]) / curve, -0.5, 0.5);
  }
  return shape;
}

}  // namespace vision
