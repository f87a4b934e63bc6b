// Outlines of what a grey picture shows, to a fraction of a pixel.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

namespace app {

// Ink, 0 to 255, row by row. The picture's rim, one pixel, is empty.
struct InkPicture {
  int width = 0, height = 0;
  std::size_t stride = 0;
  std::uint8_t* data = nullptr;
  std::uint8_t at(int x, int y) const {
    return data[static_cast<std::size_t>(y) * stride + static_cast<std::size_t>(x)];
  }
};

// px: x right, y down, the upper left corner of the upper left pixel is (0, 0).
struct PointPx {
  float x = 0.0F, y = 0.0F;
};
using Contour = std::vector<PointPx>;

// Corners are left out where the outline stays within this of it, px.
inline constexpr float kSimplified_px = 0.2F;

// Where ink covers half a pixel: closed outlines without repeating the first point, the ink on their left as the
// picture is seen. Throws OutlineError where they have more than `most_points`.
std::vector<Contour> contours(const InkPicture& ink, std::size_t most_points);

}  // namespace app
