// A closed line on the board with its normals, and the picture unrolled along it.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/plane_view.h"

namespace calib {

struct ContourPoint {
  cv::Point2d at_mm;
  cv::Point2d outward;  // unit length
};
using Contour = std::vector<ContourPoint>;

// Evenly spaced points of a closed polygon, counter-clockwise whatever way round it was given; the normals are those of
// the line smoothed over `smooth_mm` to either side.
Contour contour_of(std::vector<cv::Point2d> closed_mm, double spacing_mm, double smooth_mm = 2.0);
// The same shifted outwards, negative inwards.
std::vector<cv::Point2d> shifted(const Contour& contour, double outward_mm);

// Grey values across a contour: a row a point, columns from first_mm on, step_mm apart, outwards. NaN beyond the
// picture.
struct Strip {
  cv::Mat1f grey;
  double first_mm = 0.0, step_mm = 0.25;
  double at_mm(double column) const { return first_mm + column * step_mm; }
};
Strip unrolled(const cv::Mat& grey, const vision::PlaneView& view, const Contour& contour, double first_mm,
               double last_mm, double step_mm);

// Derivative across the strip, grey levels a step as if the step were ideal; Gaussian of `smooth_mm` across, mean over
// 2 * `along` + 1 rows. 0 where NaN is near.
cv::Mat1f steps_across(const Strip& strip, double smooth_mm, int along);
// How much darker a line of about 0.5 to 2 mm is than what lies on either side of it: the smaller of the two.
cv::Mat1f dark_lines(const Strip& strip, int along);

}  // namespace calib
