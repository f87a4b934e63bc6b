// Runs the outline reader, a process of its own, over a drawing that nobody has looked at before.
#pragma once

#include <cstdint>
#include <opencv2/core.hpp>
#include <string>
#include <vector>

#include "app/outline/wire.h"

namespace app {

struct PageOutline {
  cv::Size2d page_mm;  // as the drawing says it
  DrawingScale scale = DrawingScale::none;
  double px_per_mm = 0.0;     // of the rendering, per mm of the page
  bool reaches_edge = false;  // ink lies along the page's edge, where it is cut off
  // Closed, ink on the left; page frame: origin at its lower left corner, x right, y up, mm.
  std::vector<std::vector<cv::Point2d>> outlines_mm;
};

// What it took of the machine.
struct ReaderUse {
  double processor_s = 0.0;
  double memory_mb = 0.0;  // resident, at most
};

// `pixels`: of the rendering, about; 0: what the page's size in mm asks for. Throws OutlineError (app/outline/
// outline_error.h), after a second of a processor at most.
PageOutline read_outline(const std::string& svg, double pixels, int processor_time_ms, ReaderUse* use = nullptr);

}  // namespace app
