// Whether the light across a line is that of an edge or of a thin line.
#pragma once

#include <span>

#include "vision/line_scan.h"

namespace vision {

struct LineShape {
  // The share of the light's squared changes that the best edge, or thin line, leaves unexplained: 0 for a perfect one,
  // 1 for none.
  double misfit = 1.0;
  // The same for a mere bend of the light, one slope on either side and nothing between: of a shadow's soft edge, each
  // end of which answers like a thin line. Of a ridge only.
  double bend_misfit = 1.0;
  double place_mm = 0.0;  // where that lies, from the middle of the samples towards the last
};

// `light`: samples across the line, an odd number, the line about in the middle. An edge may fade on either side, as
// cloth does that is rounded off at a fold, and what lies beneath in its shadow; a thin line may lie on a
// slope, another on either side.
LineShape line_shape(std::span<const float> light, double spacing_mm, LineKind kind);

}  // namespace vision
