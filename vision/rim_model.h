// A taught hoop made ready for measuring: points along its two outlines, with normals, and its symmetry.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/station.h"

namespace vision {

// A point of an outline. Hoop frame, mm. `away` points away from the rim's material: into the opening on the
// inner outline, out of the ring on the outer one.
struct OutlinePoint {
  cv::Point2d at_mm;
  cv::Point2d away;
  double rim_width_mm = 0.0;  // to the other outline
  bool inner = false;
  bool beside_notch = false;  // the outline is cut here: no straight edge to measure
  size_t opposite = 0;        // index of the nearest point of the other outline
};

struct RimModel {
  std::vector<OutlinePoint> points;  // all inner ones, then all outer ones, evenly spaced
  int inner_count = 0;
  // Number of turns that bring the outlines onto themselves: 1, 2 (rectangle, oval), 4 (square), 0 for round.
  int symmetry = 1;
  double mean_radius_mm = 0.0;  // of the inner outline
  double reach_mm = 0.0;        // furthest outline point from the origin
  // Below the rim's face, as of the hoop.
  double inner_edge_drop_mm = kInnerEdgeDropMm, outer_edge_drop_mm = kOuterEdgeDropMm;
};

RimModel rim_model(const Hoop& hoop, double spacing_mm);

double outline_length_mm(const std::vector<cv::Point2d>& closed_mm);

// A closed outline resampled evenly; spacing is adjusted to divide the length.
std::vector<cv::Point2d> resampled(const std::vector<cv::Point2d>& closed_mm, double spacing_mm);

}  // namespace vision
