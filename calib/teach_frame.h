// From outlines and grooves to the hoop frame.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <vector>

#include "calib/ring_notches.h"
#include "calib/teach_ring.h"

namespace calib {

// Outlines and grooves in one frame, such as the shape's; grooves in the order of kSides, as far as known. The hoop
// frame is laid through them and everything is moved to it.
//   Notches on the axes of the shape, each to within kOnAxisMm: what is left is taken for the measurement's, the origin
// is the shape's centre, and the notches are put on the axes. One that is not is taken for a stray.
//   Otherwise, or for a shape without axes: the crossing of the lines between opposite notches, and their mean
//   direction.
// `ring` has the outlines, shape and board_from_hoop of that frame.
inline constexpr double kOnAxisMm = 0.45;
void lay_frame(TaughtRing& ring, const std::array<GrooveAt, 4>& grooves, bool symmetrical);

// The notch that a ring is doubled at, or the one furthest from the operator, made north.
TaughtRing north_by_teeth(const TaughtRing& ring);

// Where a ray from the origin cuts the inner outline.
cv::Point2d on_outline(const std::vector<cv::Point2d>& outline_mm, cv::Point2d direction);

// The unit vectors to the sides, in the order of vision::kSides.
inline const std::array<cv::Point2d, 4> kSideDirections{cv::Point2d{0, 1}, {1, 0}, {0, -1}, {-1, 0}};

}  // namespace calib
