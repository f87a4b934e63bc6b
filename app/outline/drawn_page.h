// A drawing's page, drawn by librsvg: how large it is meant to be, and where it has ink.
#pragma once

#include <string_view>
#include <vector>

#include "app/outline/contours.h"
#include "app/outline/wire.h"

namespace app {

inline constexpr int kRim_px = 2;  // empty, around the page

struct DrawnPage {
  double width_mm = 0.0, height_mm = 0.0;
  DrawingScale scale = DrawingScale::none;
  double px_per_mm = 0.0;
  bool reaches_edge = false;  // its ink, the page's: some may be cut off
  std::vector<std::uint8_t> bytes;
  InkPicture ink;  // of `bytes`; the page's upper left corner is at (kRim_px, kRim_px)
};

// `svg`: the file's bytes, compressed or not. What it names outside itself is not opened and not drawn. `pixels`: how
// many the rendering has, about; 0: what its size in mm asks for. Throws OutlineError.
DrawnPage drawn_page(std::string_view svg, double pixels);

}  // namespace app
