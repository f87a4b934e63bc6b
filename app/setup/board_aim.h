// Where the sheet is to be laid next, so that all pictures together tell most.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "calib/survey_board.h"
#include "vision/camera.h"

namespace app {

// The outline of the sheet in the picture at the next place after `taken` pictures; it covers no mark and lies in the
// picture. Empty where no place is free.
std::vector<cv::Point2d> next_sheet_outline(const calib::BoardSurvey& survey, const vision::Lens& lens,
                                            double print_scale, int taken);

}  // namespace app
