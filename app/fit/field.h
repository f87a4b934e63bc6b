// The field that a machine can sew in a hoop, and how far a point lies inside it.
// Hoop frame, mm.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/station.h"

namespace app {

// Convex, centred on the hoop's origin, its sides along the axes.
struct Field {
  enum class Shape { rectangle, rounded_rectangle, oval };  // round: an oval of equal axes
  Shape shape = Shape::rectangle;
  cv::Size2d size_mm;      // width, height
  double corner_mm = 0.0;  // radius of a rounded rectangle's corners
};

Field field_of(const vision::Hoop& hoop);
// Whether its lengths are numbers above 0 and its corners have room.
bool is_usable(const Field& field);

// Where a point stands to the nearest edge of a convex shape.
struct EdgeDistance {
  double inside_mm = 0.0;  // negative: so far outside
  cv::Point2d on_edge_mm;  // the edge's point nearest to it
  cv::Point2d outward;     // the edge's unit normal there
};
// To rounding. The field is usable.
EdgeDistance edge_distance(const Field& field, cv::Point2d p_in_hoop);

// The field less a margin all round, for drawing: closed, counter-clockwise, no two points further apart than
// `step_mm` (0: only as the curves ask for). Empty where the margin leaves nothing.
std::vector<cv::Point2d> field_outline(const Field& field, double step_mm = 0.0, double margin_mm = 0.0);

}  // namespace app
