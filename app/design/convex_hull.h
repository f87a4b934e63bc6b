#pragma once

#include <opencv2/core.hpp>
#include <vector>

namespace app {

// Counter-clockwise, without repeating the first point and without points on its sides. Fewer than three points where
// all lie on a line.
std::vector<cv::Point2d> convex_hull(std::vector<cv::Point2d> points);

}  // namespace app
