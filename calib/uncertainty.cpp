#include "calib/uncertainty.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "calib/distributions.h"

namespace calib {

double effective_dof(std::span<const VariancePart> parts) {
  double sum = 0.0, weighted = 0.0;
  for (const VariancePart& part : parts) {
    if (part.variance == 0.0) continue;
    if (!(part.variance > 0.0 && part.dof > 0.0)) return std::numeric_limits<double>::quiet_NaN();
    sum += part.variance;
    weighted += part.variance * part.variance / part.dof;
  }
  return weighted > 0.0 ? sum * sum / weighted : std::numeric_limits<double>::infinity();
}

double coverage_factor(double dof, double coverage) { return student_quantile(0.5 + 0.5 * coverage, dof); }

double coverage_factor_in_plane(double dof, double coverage) {
  return std::sqrt(2.0 * fisher_quantile(coverage, 2.0, std::min(dof, 1e6)));
}

}  // namespace calib
