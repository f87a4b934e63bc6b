// The fit of a design in a field by plain search: chords, sampling, bisection, golden sections. Slow, and of another
// build than app/fit, which it checks: no half planes, no tangents, no normals of the field.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "app/fit/field.h"
#include "vision/geometry.h"

namespace by_search {

using Points = std::vector<cv::Point2d>;

// Distance of the points to the field's edge, the smallest, negative outside; by sampling the edge.
double gap_mm(const app::Field& field, const Points& points);

// Half the length of the vertical chord of the field less the clearance at x; negative where there is none. An oval's
// clearance is less than its smallest radius of curvature.
double half_chord_mm(const app::Field& field, double clearance_mm, double x);

// How much too narrow it is for the design at this rotation at the best place; negative: that much play, in y.
double too_narrow_mm(const app::Field& field, double clearance_mm, const Points& turned);
// The smallest slide's length; nothing where no place fits.
std::optional<double> slide_mm(const app::Field& field, double clearance_mm, const Points& turned, cv::Point2d centre);

// The first turn that fits among samples every `step_rad`, then bisected; radians, either direction.
std::optional<double> turn_rad(const app::Field& field, double clearance_mm, const Points& hull,
                               const vision::Pose2& pose, double step_rad);
// sqrt(slide^2 + (reach * turn)^2) at the best of rotations every `step_rad`, then refined.
std::optional<double> nearest_mm(const app::Field& field, double clearance_mm, const Points& hull,
                                 const vision::Pose2& pose, double reach_mm, double step_rad);

}  // namespace by_search
