// The frame a hoop was taught from, with its outlines and notches drawn over it.
#pragma once

#include <opencv2/core.hpp>
#include <string>
#include <vector>

#include "calib/teach_ring.h"
#include "vision/camera.h"
#include "vision/station.h"

namespace app {

// Colour (BGR, 8 bit), of the frame's size. `words` ASCII, at the top; `trouble`: the first line says what is wrong.
cv::Mat draw_taught(const cv::Mat& grey, const vision::Station& station, const vision::CameraPose& camera_from_board,
                    const calib::TaughtRing& ring, const std::vector<std::string>& words, bool trouble);

}  // namespace app
