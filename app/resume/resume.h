// Back onto stitches that were begun: where the whole design lies in the hoop now, from stickers put on points of it
// that are known. Also for designs that are split over two hoopings: the points are then those of the second half.
// Pure arithmetic.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "app/design/design.h"
#include "vision/geometry.h"

namespace app {

// A point of the design that can be found on the cloth, and the number of the sticker whose cross lies on it. Design
// frame, mm.
struct ResumePoint {
  int sticker = -1;  // -1: none yet
  cv::Point2d at_mm;
  bool operator==(const ResumePoint&) const = default;
};

// A sticker as it lies in the hoop; covariance of its cross, mm^2, k = 1.
struct HoopedSticker {
  int number = -1;
  vision::Pose2 hoop_from_sticker;
  cv::Matx22d covariance = cv::Matx22d::zeros();
};

struct ResumeOptions {
  // Standard uncertainty with which a cross is put on a stitched point: a needle through the sticker's dot. Assumed.
  double placed_u_mm = 0.3;
  // How far stitches may lie off the old ones, anywhere in the design: twice the width of a satin edge's thread, at
  // which a gap is seen. Assumed; a person can change it.
  double tolerance_mm = 1.0;
  // An arrow further from the design's top tells that stickers were exchanged, or put on any way round.
  double arrow_limit_deg = 45.0;
  // Of all lengths, relative: a cloth 0.4 mm higher than taught under a camera 600 mm above it.
  double scale_u = 0.0007;
};

enum class ResumeFault {
  none,
  too_few,    // fewer than two of the points have their sticker in the ring
  arrow,      // a sticker's arrow does not point to the design's top, by all points
  too_close,  // the far corner of the design would not be known to the tolerance
  misfit,     // the points do not lie to one another as in the design
};

struct ResumeMisfit {
  int sticker = -1;
  cv::Point2d off_mm;  // design frame: where its cross lies less where its point belongs
};

// Expanded uncertainties, k = 2. The pose is valid with `none` only; what led to a refusal is filled in as far as
// known.
struct ResumeAnswer {
  ResumeFault fault = ResumeFault::too_few;
  vision::Pose2 hoop_from_design;                                 // rigid fit of the crosses, weighted
  vision::Covariance3 covariance = vision::Covariance3::zeros();  // of (x mm, y mm, rad), k = 1
  double u_offset_mm = 0.0;                                       // of the worse direction
  double u_rotation_deg = 0.0;
  double far_corner_u_mm = 0.0;  // where the design is known worst, in the worse direction
  std::vector<ResumeMisfit> points;
  double misfit_mm = 0.0;  // the largest distance among them
  int sticker = -1;        // that it is of, or whose arrow is wrong
  // A similarity fit's, against the design: positive where the points lie further apart than they should.
  double scale_percent = 0.0, u_scale_percent = 0.0;
};

// `hoop_covariance`: of the hoop's own pose, of a change (x mm, y mm, rad) in its frame, k = 1.
ResumeAnswer resume(const std::vector<ResumePoint>& points, const std::vector<HoopedSticker>& stickers,
                    const vision::Covariance3& hoop_covariance, const Design& design,
                    const ResumeOptions& options = {});

// Fills in the uncertainties from `hoop_from_design` and `covariance`.
void state_uncertainty(ResumeAnswer& answer, const Design& design);

// The points with the stickers' numbers, where that can be told: as many stickers as points, none given yet, and one
// way only in which arrows and distances agree.
std::optional<std::vector<ResumePoint>> matched_points(const std::vector<ResumePoint>& points,
                                                       const std::vector<HoopedSticker>& stickers, const Design& design,
                                                       const ResumeOptions& options = {});

// The corners of the box that is basted around a design: lower left, lower right, upper right, upper left.
std::vector<cv::Point2d> basting_corners(const Design& design, double margin_mm);
// The point of the basting box's corners and of the design's outlines (without any: its hull) that is nearest to `at`:
// a corner within `catch_mm`, else a corner of an outline within that, else anywhere on an outline.
cv::Point2d picked_point(const Design& design, double margin_mm, cv::Point2d at, double catch_mm);

}  // namespace app
