// Draws outlines of the hoop's frame onto the plan.
#pragma once

#include <SDL.h>

#include <opencv2/core.hpp>
#include <vector>

#include "app/screen/canvas.h"
#include "app/screen/text.h"
#include "app/views/plan_view.h"

namespace app {

// Points in the hoop's frame, widths in mm on the 10-inch screen.
struct PlanPen {
  Canvas& canvas;
  Text& text;
  const Scale& scale;
  const PlanMap& map;

  std::vector<SDL_FPoint> on_screen(const std::vector<cv::Point2d>& points) const;
  void outline(const std::vector<cv::Point2d>& points, double width_mm, Colour colour) const;
  // Every other stretch of the outline; for outlines of many short sides as for a rectangle.
  void dashed(const std::vector<cv::Point2d>& points, double width_mm, Colour colour) const;
};

}  // namespace app
