// The point of an ellipse that is nearest to another point.
#pragma once

#include <opencv2/core.hpp>

namespace app {

// Half axes along x and y, both above 0, centre at the origin. To rounding, also on the axes and inside, where the
// problem is known to be delicate.
cv::Point2d nearest_on_ellipse(cv::Size2d half_axes, cv::Point2d p);

}  // namespace app
