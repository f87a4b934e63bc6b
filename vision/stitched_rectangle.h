// A rectangle stitched into the cloth (a basting box) of about known size, found as four thin lines to sub-pixel.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <string_view>

#include "vision/cloth_sight.h"
#include "vision/geometry.h"

namespace vision {

enum class RectangleStatus {
  ok,
  out_of_sight,    // the rectangle would not fit into the cloth that is in sight
  weak_contrast,   // no four lines stand out from the cloth
  side_not_found,  // three sides or fewer: covered, torn out, or something else
  not_straight,    // a side is bent
  not_square,      // sides that are not parallel, or not perpendicular
  wrong_size,      // a clear rectangle, but not of the expected size
  several,         // two places are as good
};
std::string_view name(RectangleStatus status);

struct RectangleOptions {
  // Between the middles of opposite stitch lines as sewn: width along the rectangle's x, height along y.
  cv::Size2d expected_mm;
  double size_limit = 0.02;          // relative; cloth shrinks and stretches
  double least_size_limit_mm = 1.0;  // the larger of the two counts
  double search_size = 0.05;         // relative: how far off a rectangle is still found, to be called wrong_size
  double square_limit_deg = 0.8;     // beyond the sides' own uncertainty
  double bow_limit_mm = 0.8;
  // The turns looked at, against the hoop: every one when 90; fewer are faster.
  double turn_limit_deg = 90.0;
};

struct StitchedRectangle {
  RectangleStatus status = RectangleStatus::weak_contrast;
  // Rectangle frame: origin in its middle, x along its width. A rectangle looks the same turned by half a turn, a
  // square by a quarter: of these the pose that is turned least against the hoop, so hoop_from_rectangle's angle is
  // within
  // +-90 deg, of a square within +-45.
  Pose2 hoop_from_rectangle, board_from_rectangle;
  int look_alikes = 2;                            // 2, or 4 for a square
  Covariance3 covariance = Covariance3::zeros();  // of (x mm, y mm, rad) in the hoop frame, k = 1, all told
  double u_offset_mm = 0.0, u_angle_deg = 0.0;    // expanded, k = 2, of the worse direction
  cv::Size2d size_mm;                             // as measured
  double u_size_mm = 0.0;                         // expanded, k = 2, of the worse side
  double rms_mm = 0.0;                            // of the stitches about the four lines
  double square_off_deg = 0.0;                    // the largest deviation from parallel or perpendicular
  bool bright_thread = false;                     // brighter than the cloth
  std::array<cv::Point2d, 4> corners_in_hoop{};   // north-west, north-east, south-east, south-west of its own frame
  std::array<cv::Point2d, 4> corners_px{};        // for drawing
};

// grey: 8 bit, one channel, of the lens's size. What is known so far is filled in with every status but the first two.
StitchedRectangle find_stitched_rectangle(const cv::Mat& grey, const ClothSight& sight,
                                          const RectangleOptions& options);

}  // namespace vision
