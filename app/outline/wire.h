// What the outline reader says to the program that started it, on its standard output. Numbers are as this machine
// keeps them. One byte says which:
//   'R'  refused: a sentence follows, UTF-8.
//   'O'  outlines: OutlineHead follows, then each outline: its count of points (uint32), and as many pairs x, y
//   (float).
// Page frame: mm of the page as the drawing says it, origin at its lower left corner, x right, y up.
#pragma once

#include <cstddef>
#include <cstdint>

namespace app {

// How the drawing says its size.
enum class DrawingScale : std::uint32_t {
  physical,  // in mm, cm, in, pt or pc
  pixels,    // in CSS pixels, 96 to an inch, or in em and ex, which are counted in them
  none,      // not at all: a unit of the drawing is taken for such a pixel
};

inline constexpr std::uint32_t kWireVersion = 1;

struct OutlineHead {
  double page_width_mm = 0.0, page_height_mm = 0.0;
  double px_per_mm = 0.0;  // of the rendering, per mm of the page
  std::uint32_t scale = 0;
  std::uint32_t reaches_edge = 0;  // ink lies along the page's edge, where it is cut off
  std::uint32_t outlines = 0;
  std::uint32_t version = kWireVersion;  // of what is said here
};

inline constexpr std::size_t kMostPoints = 1'000'000;      // of all outlines together
inline constexpr std::size_t kLargestDrawing = 16U << 20;  // bytes of the file
inline constexpr std::size_t kMostMemory = 200U << 20;     // bytes that the reader may hold
inline constexpr int kMostProcessorTime_ms = 800;          // that it may take
inline constexpr double kLeastPx = 4e6, kMostPx = 25e6;    // of a rendering
inline constexpr double kOutlinePxPerMm = 10.0;            // at least, for kOutlineTolerance_mm

}  // namespace app
