// What one frame said: the reading or the reason why there is none, and all that was seen, for drawing.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <optional>
#include <string_view>
#include <vector>

#include "vision/camera.h"
#include "vision/geometry.h"
#include "vision/station.h"

namespace vision {

enum class Status {
  ok,
  no_board,
  board_moved,
  no_ring,
  ring_covered,
  which_way_up,
  no_sticker,
  sticker_covered,
  several_stickers,
  wrong_sticker,
  sticker_missing,    // of a group that belongs together too few are seen
  stickers_disagree,  // they do not lie to one another as they belong
  blurred,
  too_dark,
  too_bright,
  moving,
};
inline constexpr int kStatusCount = 16;

// The name used in files and on the wire, such as "no_board".
std::string_view name(Status status);

// The sticker's pose in the hoop frame; of a group of stickers the design's. Expanded uncertainties, k = 2.
struct Reading {
  double offset_x_mm = 0.0, offset_y_mm = 0.0;
  double rotation_deg = 0.0;  // (-180, 180]
  double u_offset_mm = 0.0;   // of the worse direction
  double u_rotation_deg = 0.0;
  Covariance3 covariance = Covariance3::zeros();        // of (x mm, y mm, rotation rad), k = 1
  Covariance3 noise_covariance = Covariance3::zeros();  // the part that averaging over frames shrinks
};

// A tag of the family 36h11. Corners in image px: top-left, top-right, bottom-right, bottom-left of the
// upright tag (upright as OpenCV's predefined dictionary draws it).
struct SeenTag {
  int id = -1;
  std::array<cv::Point2d, 4> corners_px;
  std::array<cv::Point2d, 4> corners_normalised;  // undistorted, z = 1
  double sigma_px = 0.0;                          // standard deviation of a corner, from the residuals of its sides
  int side_samples = 0;                           // edge points that held the four lines
};

struct SeenNotch {
  Side side = Side::north;
  bool seen = false;
  cv::Point2d image_px;  // where it was found, or where it was expected
};

// A stretch of the rim that was looked at: where the edge was expected and whether it was found there.
struct RimSample {
  cv::Point2d image_px;
  bool inner = false;
  bool found = false;
};

struct SeenSticker {
  int number = -1;
  int tags_seen = 0;
  bool good = false;  // seen well enough to measure by: two tags or more, flat, at the cloth's height
  Pose2 board_from_sticker;
  Covariance3 covariance = Covariance3::zeros();  // of (x mm, y mm, rad) in the board frame: noise and unflatness
  std::array<cv::Point2d, 4> outline_px;          // its paper's corners: north-west, north-east, south-east, south-west
  cv::Point2d centre_px;
  cv::Point2d arrow_px;  // image point of sticker (0, 15) mm
};

// One sticker of a group, against the whole group.
struct StickerCheck {
  int number = -1;
  bool used = false;   // seen well, and within the ring where that is known
  bool agrees = true;  // lies where it belongs, as far as people stick and cloth stretches
  // Where it lies less where it belongs by the group: design frame, mm; its arrow's turn. 0 where it is not used.
  cv::Point2d off_mm;
  double turn_off_deg = 0.0;
};

// What a group of stickers says of the design that they belong to.
struct SeenDesign {
  std::vector<StickerCheck> stickers;  // the whole group; empty: no group is asked for
  // Where enough of it are seen and agree, with or without a ring.
  std::optional<Pose2> board_from_design;
};

// Everything that one frame gave. Parts are present as far as they were seen, whatever the status.
struct FrameResult {
  Status status = Status::no_board;
  std::optional<Reading> reading;  // exactly when status is ok

  std::optional<CameraPose> camera_from_board;
  bool board_from_this_frame = false;
  std::vector<SeenTag> board_marks;          // those that agreed with the survey
  std::vector<int> board_marks_disagreeing;  // ids seen, and nowhere in their place
  std::vector<int> board_marks_twice;        // ids seen at two places; one of them may be the right one

  std::vector<SeenSticker> stickers;
  SeenDesign design;
  std::vector<SeenTag> sticker_tags;
  std::vector<SeenTag> other_tags;  // badges, tickets, north marks: whatever else of the family was seen

  std::optional<Pose2> board_from_hoop;
  // Of (x mm, y mm, rad) in the hoop frame, k = 1, camera and heights left out; zeros without board_from_hoop.
  Covariance3 hoop_covariance = Covariance3::zeros();
  std::array<SeenNotch, 4> notches;
  int notches_seen = 0;
  double ring_support = 0.0;  // share of the outline that was found, 0..1
  std::vector<RimSample> rim;
  // The fitted outlines in the image, for drawing.
  std::vector<cv::Point2d> inner_px, outer_px;

  bool tracked = false;  // read from the last frame's poses, without a search
};

}  // namespace vision
