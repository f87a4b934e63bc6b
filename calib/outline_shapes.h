// Closed outlines of simple rings: mm, around the origin, counter-clockwise, without repeating the first point.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

namespace calib {

// A point about every half millimetre of the corners; straight sides have their ends only.
std::vector<cv::Point2d> rounded_rectangle(double width_mm, double height_mm, double radius_mm);
// A point about every half millimetre. A circle where both are the same.
std::vector<cv::Point2d> ellipse_outline(double half_width_mm, double half_height_mm);

}  // namespace calib
