// Why a picture gives nothing: too dark, too bright, blurred. Asked only when something was not found.
#pragma once

#include <opencv2/core.hpp>
#include <optional>

#include "vision/reading.h"

namespace vision {

// too_dark, too_bright or blurred when the picture is plainly so, else nothing. Looks at a grid of pixels, so that it
// costs well under a millisecond.
std::optional<Status> picture_fault(const cv::Mat& grey);

}  // namespace vision
