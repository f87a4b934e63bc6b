// At one place: the smallest turn about the design's centre by which it fits.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "app/fit/turned_hull.h"

namespace app {

// Radians from `rotation_rad`, in [-pi, pi]; 0 where it fits already; nothing where no turn does. A vertex that is
// outside stays outside as long as its circle is beyond the room's tangent there: so far the turn goes on at once, and
// nothing in between is passed over.
std::optional<double> nearest_turn(const Room& room, const std::vector<cv::Point2d>& hull, double rotation_rad,
                                   cv::Point2d centre_mm);

}  // namespace app
