// Which of the lines that run around a place are the inner ring's: from its opening to the gap between the rings.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "calib/contour.h"
#include "calib/ring_candidates.h"
#include "calib/ring_shape.h"
#include "vision/camera.h"

namespace calib {

// The picture and the planes that a ring is looked for in.
struct RingScene {
  const cv::Mat& grey;
  const vision::Lens& lens;
  const vision::CameraPose& camera_from_board;
  double rim_height_mm;
  // The plane `below` the rim's face, in the board's frame.
  vision::PlaneView view(double below_mm) const {
    return {lens, camera_from_board, rim_height_mm - below_mm, vision::Pose2{}};
  }
};

// What lies around the inner ring: a gap, seen as a line, and another ring beyond it; or nothing, and its edge is a
// step.
enum class Boundary { dark_gap, faint_gap, step };

struct RingLines {
  ShapeFit outer;         // the boundary, to about 0.3 mm: the gap's middle
  double width_mm = 0.0;  // from there to the opening
  Boundary boundary = Boundary::step;
  bool inner_by_wall = false;  // the opening's edge shows by the foot of the ring's inner wall
  double width_score = 0.0;    // its share of the score
  double score = 0.0;          // 0 to 5: how plainly the boundary and the edges on both sides of it show
};

// What the lines around a candidate may be, best first; none where no two of them go together as a rim.
std::vector<RingLines> ring_lines(const RingScene& scene, const RingLine& candidate);

// Where the opening's edge lies inside the outer outline, mm, by what runs parallel to it.
struct RimWidth {
  double width_mm = 0.0;
  double score = 0.0;  // share of the way on which it shows
  bool by_wall = false;
};
// Widths from least to most, tried every step_mm.
std::optional<RimWidth> rim_width(const RingScene& scene, const Contour& outer, double least_mm, double most_mm,
                                  double step_mm);

inline constexpr double kLeastRimMm = 2.5, kMostRimMm = 16.0;

// The shape's outline in the board's frame, a point about every millimetre.
Contour contour_of(const ShapeFit& fit, double spacing_mm = 1.0);

}  // namespace calib
