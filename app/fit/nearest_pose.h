// The rotation and place nearest to the wanted ones at which a design fits.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "app/fit/turned_hull.h"
#include "vision/geometry.h"

namespace app {

struct NearestPose {
  vision::Pose2 hoop_from_design;
  // sqrt(slide^2 + (turn * reach)^2), mm; no pose that fits is nearer by more than kNearest_mm.
  double distance_mm = 0.0;
  int looks = 0;  // rotations that were tried
};
inline constexpr double kNearest_mm = 4e-7;

// Over all rotations: branch and bound. Each rotation that is tried proves a least distance for all others
// (NearestPlace::proof), so stretches of rotations are ruled out until nothing nearer is left. `reach_mm`: how far the
// design moves for a radian, its hull's largest radius. `turn_rad`: a turn that is known to fit, where there is one.
std::optional<NearestPose> nearest_pose(const Room& room, const std::vector<cv::Point2d>& hull,
                                        const vision::Pose2& wanted, double reach_mm, std::optional<double> turn_rad);

}  // namespace app
