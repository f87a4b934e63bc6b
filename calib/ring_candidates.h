// Closed lines in a flat picture that might belong to a ring.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "calib/flat_picture.h"
#include "calib/ring_shape.h"

namespace calib {

struct RingLine {
  std::vector<cv::Point2d> at_mm;  // board, counter-clockwise, to about 2 mm
  ShapeFit shape;                  // to about as much
  double mean_radius_mm = 0.0;
  double score = 0.0;  // how edge-like it is along its way, 0 to 1
};

// From many middles over the board the best closed line around each, of all edges and of those of areas: the `most`
// best ones of either that a hoop could have, each once.
std::vector<RingLine> ring_candidates(const FlatPicture& flat, int most);

// Neither tiny nor sharp-cornered nor much longer than wide nor ragged.
bool is_hoop_like(const ShapeFit& fit);

}  // namespace calib
