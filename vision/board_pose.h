// The camera's pose over the board from the board marks seen in one frame.
// Board frame: mm, origin at the board's centre, x to the operator's right, y away from the operator, z up.
#pragma once

#include <optional>
#include <vector>

#include "vision/camera.h"
#include "vision/reading.h"
#include "vision/station.h"

namespace vision {

enum class BoardPoseError { none, too_few_marks, marks_disagree };

struct BoardPose {
  CameraPose camera_from_board;
  double rms_px = 0.0;           // of the corners that agree, image px
  std::vector<int> agreeing;     // indices into the given tags
  std::vector<int> disagreeing;  // marks stuck askew, moved, or seen wrongly
  BoardPoseError error = BoardPoseError::none;
};

struct BoardPoseOptions {
  // A mark whose corners lie further off than this (rms, px at 1000 px focal length) does not agree with the survey:
  // at 650 mm that is 0.2 mm on the board.
  double mark_limit_per_mille = 0.35;
  int least_marks = 3;
};

// Least squares over the corners, marks that do not agree left out; needs three marks that agree, else `error` says
// why. `start` is tried before a search. The covariance assumes independent corner errors of the size that the
// residuals and the tags' own sigma show.
BoardPose board_pose(const std::vector<SeenTag>& marks, const Station& station,
                     const std::optional<CameraPose>& start = std::nullopt, const BoardPoseOptions& options = {});

// Whether the marks that are seen still lie where a known pose puts them, of a number seen twice one of the two; false
// when none is seen.
bool marks_agree(const std::vector<SeenTag>& marks, const Station& station, const CameraPose& camera_from_board,
                 const BoardPoseOptions& options = {});

// The corners of a board mark in the board frame: top-left, top-right, bottom-right, bottom-left of the upright tag.
std::array<cv::Point2d, 4> board_mark_corners(const BoardMark& mark, double print_scale);

}  // namespace vision
