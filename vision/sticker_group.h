// Several stickers of one design: where the design lies by all of them, and whether each one agrees.
//
// Two or more: the design's pose is the weighted rigid fit of their crosses to the places where they belong. The base
// line between them gives the rotation; their arrows, a few centimetres long and laid by hand, only check it. One that
// is alone in its group gives it by cross and arrow.
#pragma once

#include <opencv2/core.hpp>
#include <span>
#include <vector>

#include "vision/geometry.h"
#include "vision/reading.h"

namespace vision {

struct GroupSticker {
  int number = 0;
  Pose2 design_from_sticker;  // where it belongs
};

struct StickerGroup {
  std::vector<GroupSticker> stickers;
  // Standard uncertainties with which a person sticks one where it belongs: half a millimetre for a cross laid on a
  // mark by eye, a degree for an arrow 44 mm long with both ends so (0.9 deg). Assumed; no source.
  double placed_u_mm = 0.5, placed_u_deg = 1.0;
  // Cloth between two stickers that is longer or shorter by this share is stretched, not a disagreement.
  double stretch_allowed = 0.03;
  // Standard uncertainty with which the cloth's height differs from one sticker to another, mm; assumed.
  double height_apart_u_mm = 0.2;
};

// How many standard uncertainties one may lie off before it disagrees.
inline constexpr double kDisagreesAt = 3.0;

// One of the group that was seen well.
struct GroupMember {
  std::size_t index = 0;  // in the group
  Pose2 board_from_sticker;
  Covariance3 covariance = Covariance3::zeros();  // of (x mm, y mm, rad) in the board frame: what was measured
  cv::Point2d per_height;                         // how its place moves for a millimetre of the cloth's height
};

// The fit alone: design pose from members' poses, with fixed weights.
struct GroupFit {
  std::vector<Pose2> design_from_sticker, board_from_sticker;
  std::vector<double> weights;

  bool ok() const { return !board_from_sticker.empty(); }
  // From other poses of the same members, in their order. Precondition: ok().
  Pose2 board_from_design(std::span<const Pose2> board_from_members) const;
};

struct GroupPose {
  Status status = Status::sticker_missing;  // ok, sticker_missing or stickers_disagree
  Pose2 board_from_design;                  // where the status is ok
  // Of (x mm, y mm, rad) in the board frame: what was measured, frame by frame; and what all frames share: heights that
  // differ, and how far the pose may lie from that by the whole group where some of it is hidden.
  Covariance3 covariance = Covariance3::zeros(), shared_covariance = Covariance3::zeros();
  GroupFit fit;
  std::vector<StickerCheck> checks;  // of the whole group, in its order
};

// Two members or more are wanted of a group of two or more. Weights are 1 / (placed_u_mm^2 + measured variance).
// Three or more of which one alone disagrees: that one is named; else all that do.
GroupPose group_pose(const StickerGroup& group, const std::vector<GroupMember>& members);

}  // namespace vision
