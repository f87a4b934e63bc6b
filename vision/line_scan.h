// Straight lines that run across the cloth, roughly: each direction's mean slope and mean curvature of the grey value
// along every line (a Radon transform), so that a faint line is told from texture by its length.
#pragma once

#include <vector>

#include "vision/cloth_sight.h"

namespace vision {

enum class LineKind {
  edge,   // the grey value steps: a fold's or hem's edge, a woven border
  ridge,  // a thin line that differs from both its sides: a crease, a seam, a stitch line
};

// A line of the hoop frame: points with x * -sin(angle) + y * cos(angle) = distance.
struct LineCandidate {
  LineKind kind = LineKind::edge;
  double angle_rad = 0.0;    // of its direction, [0, pi)
  double distance_mm = 0.0;  // from the hoop's centre, positive to the left of the direction
  int sign = 1;              // an edge brighter on the left, a ridge brighter than its sides: +1; else -1
  double strength = 0.0;     // its mean over the standard deviation of all lines' means
};

struct ScanOptions {
  double least_strength = 6.0;  // of all lines over mere texture hardly one in a million reaches five
  double least_length_mm = 30.0;
  int most = 12;  // of each kind
  // Directions looked at: about `middle_rad`, to either side.
  double middle_rad = 0.0, reach_rad = kPi / 2.0;
};

// Edges, then ridges, the strongest first. `patch` is at kScanMmPerPx / 2.
inline constexpr double kScanMmPerPx = 0.8;
std::vector<LineCandidate> scan_lines(const ClothPatch& patch, const ScanOptions& options = {});

}  // namespace vision
