// Whether a whole design lies in the field that the machine can sew, and if not, what would make it fit.
//
// Exact for the convex hull of a design in a convex field. All in the hoop's frame, mm; angles in degrees,
// counter-clockwise.
#pragma once

#include <opencv2/core.hpp>
#include <optional>

#include "app/design/design.h"
#include "app/fit/field.h"
#include "vision/geometry.h"

namespace app {

struct FitOptions {
  double clearance_mm = 2.0;  // that the design keeps from the field's edge, 0 or more; common practice
};

// A way to make it fit; angles and places change by the least that does.
struct Fit {
  bool fits = false;  // what touches fits
  // From the design's hull to the field's edge where it is smallest, less the clearance; negative: so much it sticks
  // out (the greatest distance of a hull's point beyond the edge, clearance included). NaN where the design, the field,
  // the clearance or the pose is none; then it does not fit and nothing is proposed.
  double gap_mm = 0.0;
  double clearance_mm = 0.0;  // that was asked for
  cv::Point2d at_mm;          // the hull's point where that is
  cv::Point2d on_edge_mm;     // the field's edge point nearest to it
  // Only where it does not fit; each is absent where no such way exists.
  std::optional<cv::Point2d> slide_mm;  // the smallest slide that fits at this rotation
  std::optional<double> turn_deg;       // the smallest turn about the design's centre that fits at this place
  // The rotation and place nearest to the wanted ones that fit: slide and turn together. Nearest: the least sum of
  // squares of the slide, mm, and the turn times the hull's largest radius, mm. Nearest of all rotations.
  std::optional<vision::Pose2> hoop_from_design_nearest;
  bool fits_straight = false;  // at rotation 0 in the field's middle: a re-hooping can make it fit
};

// `hoop_from_design`: where the design's centre comes and how it is turned. Any number of hull points from one up.
Fit fit(const Design& design, const Field& field, const vision::Pose2& hoop_from_design,
        const FitOptions& options = {});

// The gap alone, as above: quick.
double gap_mm(const Design& design, const Field& field, const vision::Pose2& hoop_from_design,
              const FitOptions& options = {});

// How far the design moves for a radian: its hull's largest radius, mm.
double reach_mm(const Design& design);

}  // namespace app
