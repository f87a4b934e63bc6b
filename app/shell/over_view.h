// What lies over every view: a short message, and the dark of a resting screen.
#pragma once

#include <opencv2/core.hpp>

#include "app/desk/desk.h"
#include "app/screen/canvas.h"
#include "app/screen/text.h"

namespace app {

// Above the buttons along the lower edge, in as many lines as it takes.
void draw_message(Canvas& canvas, Text& text, cv::Size screen, const Message& message);
// Nothing is lit but a line that says how to go on; it wanders, so that it burns into no screen.
void draw_resting(Canvas& canvas, Text& text, cv::Size screen, double now_s);

}  // namespace app
