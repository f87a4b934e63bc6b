// Frame results made up from known poses, for what draws them: nothing is measured here.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <vector>

#include "vision/reading.h"
#include "vision/station.h"

namespace fake {

// A camera that looks straight down from 650 mm on six board marks; board x runs to the right in its picture.
vision::Station station();
// Rectangular with round corners, 140 x 190 mm.
vision::Hoop hoop();
vision::CameraPose straight_down();

// Everything seen, status ok: the hoop at its pose on the board, the sticker at `reading` in the hoop frame.
vision::FrameResult result(const vision::Station& station, const vision::Hoop& hoop, const vision::CameraPose& pose,
                           const vision::Pose2& board_from_hoop, double offset_x_mm, double offset_y_mm,
                           double rotation_deg);
// The board marks only, with a reason.
vision::FrameResult no_reading(const vision::Station& station, const vision::CameraPose& pose, vision::Status status);

}  // namespace fake
