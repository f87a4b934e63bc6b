#include "app/fit/fit.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "app/fit/nearest_place.h"
#include "app/fit/nearest_pose.h"
#include "app/fit/nearest_turn.h"
#include "app/fit/room.h"

namespace app {
namespace {

bool is_number(cv::Point2d p) { return std::isfinite(p.x) && std::isfinite(p.y); }

bool are_usable(const Design& design, const Field& field, const vision::Pose2& pose, const FitOptions& options) {
  return !design.hull_mm.empty() && std::all_of(design.hull_mm.begin(), design.hull_mm.end(), is_number) &&
         is_usable(field) && is_number(pose.origin_mm) && std::isfinite(pose.angle_rad) &&
         std::isfinite(options.clearance_mm) && options.clearance_mm >= 0.0;
}

// The distance to a convex edge is a concave function inside and its negative convex outside: it is smallest at a
// vertex.
void find_gap(const Design& design, const Field& field, const vision::Pose2& pose, const FitOptions& options,
              Fit& found) {
  found.gap_mm = std::numeric_limits<double>::infinity();
  for (const cv::Point2d& p : turned(design.hull_mm, pose.angle_rad)) {
    const EdgeDistance edge = edge_distance(field, p + pose.origin_mm);
    if (!(edge.inside_mm - options.clearance_mm < found.gap_mm)) continue;
    found.gap_mm = edge.inside_mm - options.clearance_mm;
    found.at_mm = p + pose.origin_mm;
    found.on_edge_mm = edge.on_edge_mm;
  }
  found.fits = found.gap_mm >= -kTouch_mm;
}

}  // namespace

double gap_mm(const Design& design, const Field& field, const vision::Pose2& pose, const FitOptions& options) {
  Fit found;
  if (!are_usable(design, field, pose, options)) return std::numeric_limits<double>::quiet_NaN();
  find_gap(design, field, pose, options, found);
  return found.gap_mm;
}

double reach_mm(const Design& design) {
  double reach = 0.0;
  for (const cv::Point2d& p : design.hull_mm) reach = std::max(reach, std::hypot(p.x, p.y));
  return reach;
}

Fit fit(const Design& design, const Field& field, const vision::Pose2& pose, const FitOptions& options) {
  Fit found;
  found.clearance_mm = options.clearance_mm;
  if (!are_usable(design, field, pose, options)) {
    found.gap_mm = std::numeric_limits<double>::quiet_NaN();
    return found;
  }
  find_gap(design, field, pose, options, found);
  found.fits_straight = gap_mm(design, field, {}, options) >= -kTouch_mm;
  const Room room(field, options.clearance_mm);
  if (found.fits || room.empty()) return found;
  if (const NearestPlace place = nearest_place(room, design.hull_mm, pose.angle_rad, pose.origin_mm); place.possible)
    found.slide_mm = place.centre_mm - pose.origin_mm;
  const std::optional<double> turn = nearest_turn(room, design.hull_mm, pose.angle_rad, pose.origin_mm);
  if (turn) found.turn_deg = *turn * vision::kDegPerRad;
  if (const auto nearest = nearest_pose(room, design.hull_mm, pose, reach_mm(design), turn))
    found.hoop_from_design_nearest = nearest->hoop_from_design;
  return found;
}

}  // namespace app
