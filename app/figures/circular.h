// Statistics of angles, which begin anew after a full turn. Degrees; means in (-180, 180].
// Formulas: J. H. Zar, Biostatistical Analysis, 5th ed. (2010), chapter 26.
#pragma once

#include <cstddef>
#include <optional>
#include <span>

namespace app {

struct Circular {
  std::size_t count = 0;
  double mean_deg = 0.0;               // direction of the mean vector; NaN where that has none
  double resultant = 0.0;              // its length, 0 to 1
  double circular_sd_deg = 0.0;        // sqrt(-2 ln r)
  double angular_deviation_deg = 0.0;  // sqrt(2 (1 - r))
};

Circular circular(std::span<const double> angles_deg);

// Half width of the interval of the mean direction; nothing where the angles are too scattered or too few for one.
std::optional<double> interval_of_direction_deg(const Circular& figures, double confidence = 0.95);

// The angle with the least sum of distances along the circle; the middle of them where several have. NaN for none.
double circular_median_deg(std::span<const double> angles_deg);

// Lord Rayleigh's test: the probability of so long a mean vector where no direction is preferred (Zar 2010, 27.4).
double rayleigh_p(const Circular& figures);

}  // namespace app
