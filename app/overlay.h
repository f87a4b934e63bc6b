// A picture of a frame with what was found drawn on it, understood at a glance.
#pragma once

#include <opencv2/core.hpp>
#include <string>
#include <vector>

#include "app/overlay_shapes.h"
#include "vision/reading.h"
#include "vision/station.h"

namespace app {

// Colour (BGR, 8 bit), of the frame's size. Light lines on a dark halo show on dark and on light cloth. The reading, or
// the reason and what to do about it, stands in large letters at the top.
cv::Mat draw_overlay(const cv::Mat& grey, const vision::FrameResult& result, const vision::Station& station,
                     const vision::Hoop& hoop);

// The same for any shapes and words, ASCII; `trouble`: the first line says what is wrong.
cv::Mat draw_overlay(const cv::Mat& grey, const OverlayShapes& found, const std::vector<std::string>& words,
                     bool trouble);

}  // namespace app
