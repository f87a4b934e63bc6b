// A second opinion on a tag's corners, from the edges between its bits.
#pragma once

#include <opencv2/core.hpp>
#include <optional>

#include "vision/tag_quads.h"

namespace vision {

// By how much every side of tag `id` seems too far inside, px: white spreads over black in ink, in the lens, and in a
// picture whose grey levels do not grow in proportion to light, so that the black square and each of its modules seem
// smaller and white bits larger than they are. The bits' edges tell how much, because they lie a known way apart.
//
// Nothing where the edges do not lie where the corners say, near any of the sides, to about a tenth of a module:
// something straight laid over a side, such as tape, can look like a side by itself, but it does not move the bits.
// blur_px: standard deviation of the edges' spread. bend: see SideFitter::Known; the sides must have been fitted with
// the same one.
std::optional<double> white_spread_px(const cv::Mat& grey, const Quad& corners_px, int id, double blur_px, double bend);

// The bend that makes white spread as much when both the sides and the bits' edges are fitted without one.
double bend_of_spread(double spread_px, double blur_px);

}  // namespace vision
