// A design's drawing: an SVG file, drawn by librsvg in a process of its own that is given little memory, little time
// and nothing but the file's bytes. What the file names outside itself is not opened.
#pragma once

#include <filesystem>
#include <opencv2/core.hpp>
#include <optional>

#include "app/design/design.h"
#include "app/outline/wire.h"

namespace app {

// How large the design is in truth, of the box around its ink, mm. Without a height the width alone counts.
struct TrueSize {
  double width_mm = 0.0;
  std::optional<double> height_mm;
};

struct Drawing {
  Design design;
  // How the drawing says its size: the person confirms one in pixels.
  DrawingScale scale = DrawingScale::physical;
  double resized = 1.0;  // true size over the one that the drawing says
  // Ink lies along the page's edge: what goes on beyond it is not drawn, and the person should look.
  bool reaches_edge = false;
};

// The outlines and the hull are within this of what librsvg draws, where that is wider than about 0.01 mm; what lies
// outside of the drawing's page is not drawn. Ink is what the drawing covers, in whatever colour, also thinly.
inline constexpr double kOutlineTolerance_mm = 0.1;
inline constexpr double kLargestDesign_mm = 1000.0, kSmallestDesign_mm = 1.0;  // of its longer side
// A true height that differs by more of the one that belongs to the width is another drawing's.
inline constexpr double kShapeTolerance = 0.01;

// A drawing that says no size needs `size`. A second reading of the same bytes is remembered. Throws calib::FileError,
// hostile files after a second of a processor at most.
Drawing read_drawing(const std::filesystem::path& file, const std::optional<TrueSize>& size = {});

}  // namespace app
