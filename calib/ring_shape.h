// The simple closed shapes that hoops have, fitted to points of an outline.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "calib/teach_ring.h"
#include "vision/geometry.h"

namespace calib {

// Centred on its own frame, whose axes are the shape's. radius_mm: of a (rounded) rectangle's corners.
struct ShapeFit {
  RingShape shape = RingShape::other;
  bool fits = false;  // to within what was asked for; otherwise the nearest of its kind
  vision::Pose2 board_from_shape;
  double half_width_mm = 0.0, half_height_mm = 0.0, radius_mm = 0.0;
  double rms_mm = 1e9;      // of the points that belong to it
  double scatter_mm = 1e9;  // robust: 1.48 times the median distance of all points
};

// Distance to the shape, positive outside; of a point in the board frame.
double distance_mm(const ShapeFit& fit, cv::Point2d p_in_board);

// The shape itself, in its own frame, counter-clockwise, a point about every half millimetre of its bends.
std::vector<cv::Point2d> outline_of(const ShapeFit& fit);

// Robust: points further off than gate_mm, or four times the scatter where that is more, do not count.
// The simplest of them that fits nearly as well as the best one. `shape` is `other` where even that one leaves more
// than good_mm.
ShapeFit fit_ring_shape(const std::vector<cv::Point2d>& points, double gate_mm, double good_mm);

}  // namespace calib
