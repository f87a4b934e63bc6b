// The inner ring's two outlines to sub-pixel.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "calib/ring_lines.h"

namespace calib {

struct RefinedRing {
  ShapeFit shape;  // of the outer outline; the nearest one where it is none of the simple shapes
  // In the shape's frame, counter-clockwise.
  std::vector<cv::Point2d> inner_mm, outer_mm;
  double width_mm = 0.0;
  bool inner_by_wall = false;
  double inner_share = 0.0;     // of the opening's edge, that shows
  double seen_share = 0.0;      // of the outer outline
  double longest_gap_mm = 0.0;  // the longest stretch on which the outer outline does not show
  bool in_frame = true;         // all of it
  double rms_mm = 0.0;          // of the outer outline's edge points that belong to it
};

// `lines` may be off by half a millimetre. False where too little of an edge is left to fit.
bool refine_ring(const RingScene& scene, const RingLines& lines, RefinedRing& refined);

// Points of the outer edge within reach_mm of a contour, in the board's frame; where none shows, nothing: `seen` is a
// flag a contour point.
struct EdgePoints {
  std::vector<cv::Point2d> at_mm;
  std::vector<char> seen;
};
EdgePoints outer_edge(const RingScene& scene, const Contour& contour, Boundary boundary, double inwards_mm,
                      double outwards_mm);

}  // namespace calib
