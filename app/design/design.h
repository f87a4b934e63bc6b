// What is stitched, as far as placing it goes: its size and its shape. Design frame: origin at the design's centre, x
// right, y to the design's top, mm.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

namespace app {

struct Design {
  cv::Size2d size_mm;  // of its box; the origin is the box's centre
  // The convex hull, counter-clockwise, without repeating the first point; three points or more.
  std::vector<cv::Point2d> hull_mm;
  // What is drawn: closed outlines, outer and inner ones. Empty: the hull is drawn.
  std::vector<std::vector<cv::Point2d>> outlines_mm;
};

// A design of which only width and height are known; both above 0.
Design rectangle_design(cv::Size2d size_mm);

}  // namespace app
