// What was found in a frame, as lines and words in the image. Drawing them is another matter (overlay.h).
#pragma once

#include <opencv2/core.hpp>
#include <string>
#include <vector>

#include "vision/reading.h"
#include "vision/station.h"

namespace app {

enum class Tone { board, ring, notch, sticker, field, missing };

struct Shape {
  std::vector<cv::Point2d> points_px;
  Tone tone = Tone::board;
  bool closed = false;
  bool arrow = false;   // a head at the last point
  double weight = 1.0;  // of the line, 1 is the usual
};

struct Label {
  std::string text;   // ASCII
  cv::Point2d at_px;  // its middle
  Tone tone = Tone::board;
};

struct OverlayShapes {
  std::vector<Shape> shapes;
  std::vector<Label> labels;
};

// Board marks with their ids (those not seen or not agreeing at their surveyed place, as missing), both outlines of the
// ring with the stretches that were not found, the notches by their side, every sticker with cross, arrow and number,
// the field at cloth height, and the way from the hoop's centre to the sticker's cross. Points that are not finite are
// left out.
OverlayShapes overlay_shapes(const vision::FrameResult& result, const vision::Station& station,
                             const vision::Hoop& hoop);

}  // namespace app
