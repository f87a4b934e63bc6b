// Our own drawings on paper.
#pragma once

#include <opencv2/core.hpp>

#include "app/report/svg.h"

namespace app {

class Pen;

// In the light colours, this wide, its upper left corner here (mm, y up). Throws SheetError.
void draw_plot(Pen& pen, const Svg& drawing, cv::Point2d upper_left, double width_mm);
double plot_height_mm(const Svg& drawing, double width_mm);

}  // namespace app
