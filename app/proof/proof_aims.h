// Where on the board the proof sheet is best laid.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/geometry.h"
#include "vision/station.h"

namespace app {

// `count` places of the sheet's middle, board frame: the middle of the board marks first, the others around it, as far
// out as leaves the marks free.
std::vector<cv::Point2d> proof_aims(const vision::Station& station, int count);

// The corners of the sheet, cut out, that lies there upright; board frame, mm.
std::vector<cv::Point2d> proof_sheet_outline(const vision::Pose2& board_from_sheet, double print_scale);

}  // namespace app
