// One line of the cloth followed along its length and fitted to sub-pixel.
#pragma once

#include <limits>
#include <opencv2/core.hpp>
#include <vector>

#include "vision/cloth_sight.h"
#include "vision/fits.h"
#include "vision/line_scan.h"

namespace vision {

struct TraceOptions {
  double gate_mm = 1.8;  // looked at to either side of where the line is expected
  // The stretch of the line that is looked at, mm along its direction from the foot of the hoop's centre.
  double from_mm = -std::numeric_limits<double>::infinity(), to_mm = std::numeric_limits<double>::infinity();
  bool may_bow = true;  // follows a bent line as well, so that its bow is measured
};

// Found in stretches of kTraceBlockMm, each averaged along the line and counted as one point.
inline constexpr double kTraceBlockMm = 4.0;

struct LineTrace {
  int blocks = 0;          // that were in sight
  int found = 0;           // of these with the line in them
  LineFit fit;             // hoop frame; its status is not ok where nothing was found
  double length_mm = 0.0;  // from the first to the last found
  double longest_gap_mm = 0.0;
  double bow_mm = 0.0;              // of the parabola through the points over their length, signed to the left
  double bow_u_mm = 0.0;            // expanded, k = 2
  double rms_mm = 0.0;              // about the straight line
  double contrast = 0.0;            // of the step, relative to the light about it; of a thin line times its width, mm
  double significance_found = 0.0;  // the same over the stretches that were found alone
  double significance = 0.0;        // of the mean answer along the line
  double width_mm = 0.0;     // standard deviation of the edge's or ridge's spread across; the optics' blur included
  double misfit = 1.0;       // share of the light's changes across it that an edge, or a ridge, does not explain
  double bend_misfit = 1.0;  // what a mere bend of the light leaves unexplained of it; of a ridge
  // How far to the left of its fit the edge itself lies, by the shape of the light across it.
  double shift_mm = 0.0;
  double variance_across = 0.0, variance_angle = 0.0;  // as of line_place(); neighbouring points' likeness counted in
  std::vector<cv::Point2d> points;                     // hoop frame
};

// In linear light, with the picture's tone curve taken as a gamma of 2.2, which most cameras' is near: a blurred step
// would otherwise seem to lie on its dark side.
LineTrace trace_line(const cv::Mat& grey, const ClothSight& sight, const ClothPatch& patch,
                     const LineCandidate& candidate, const TraceOptions& options = {});

}  // namespace vision
