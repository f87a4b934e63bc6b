// Brings the sides of a roughly known quadrilateral onto the edges of a dark square.
#pragma once

#include <opencv2/core.hpp>

#include "vision/tag_quads.h"

namespace vision {

// Moves each side, straight in px, onto the edge from dark inside to bright outside that most places along it agree
// on, no further than `reach_px` away. About 0.3 px good. False, and the quad in an unknown state, where a side has
// no such edge over most of its length or leaves the picture.
bool snap_sides(const cv::Mat& grey, Quad& quad, double reach_px);

// Where the line through a and b meets the line through c and d; NaN when they are parallel.
cv::Point2d line_crossing(cv::Point2d a, cv::Point2d b, cv::Point2d c, cv::Point2d d);

}  // namespace vision
