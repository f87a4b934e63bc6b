// Whether two taught rim outlines can be the two edges of one ring.
#pragma once

#include <opencv2/core.hpp>
#include <string>
#include <vector>

namespace calib {

struct OutlineFault {
  std::string message;    // what is wrong and what to write instead
  std::size_t point = 0;  // where, as an index
};

// Positive when counter-clockwise (y up), mm^2.
double signed_area(const std::vector<cv::Point2d>& outline);
// A point on the outline counts as outside.
bool is_inside(cv::Point2d p, const std::vector<cv::Point2d>& outline);

// Nothing wrong: an empty message. Three points or more, none repeated, counter-clockwise, no crossing of itself.
OutlineFault fault_of_outline(const std::vector<cv::Point2d>& outline);
// Every inner point lies inside the outer outline and no outer point inside the inner one; `point` counts inner ones.
OutlineFault fault_of_ring(const std::vector<cv::Point2d>& inner, const std::vector<cv::Point2d>& outer);

}  // namespace calib
