// How much each corner counts: what is known of its error, what the residuals show of the rest, and that one which lies
// far off says nothing.
#pragma once

#include "calib/lens_adjust.h"

namespace calib {

struct WeighedCorners {
  PointWeights weights;                       // 1 / variance, times 0 for an outlier
  std::vector<std::vector<double>> distance;  // of a corner from where it should be, in standard deviations
  double extra_sigma_px = 0.0;                // by which the corners' own sigmas fall short
};

// sharp: a corner is an outlier or it is none; gentle: the further off, the less it counts, for a state that is still
// on its way.
enum class Weighing { gentle, sharp };

// Robust: up to a third or so of the corners may be anything.
WeighedCorners weigh_corners(const std::vector<LensPicture>& pictures, const LensAndPoses& state, Weighing weighing);

}  // namespace calib
