// A picture of a frame with what was found drawn on it, understood at a glance.
#pragma once

#include <opencv2/core.hpp>

#include "vision/reading.h"
#include "vision/station.h"

namespace app {

// Colour (BGR, 8 bit), of the frame's size. Light lines on a dark halo show on dark and on light cloth. The reading, or
// the reason and what to do about it, stands in large letters at the top.
cv::Mat draw_overlay(const cv::Mat& grey, const vision::FrameResult& result, const vision::Station& station,
                     const vision::Hoop& hoop);

}  // namespace app
