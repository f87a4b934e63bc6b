// A straight line on the cloth - a fold, a hem, a seam, a woven border - and how it lies to the ring's axes.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <optional>
#include <string_view>
#include <vector>

#include "vision/cloth_sight.h"
#include "vision/line_scan.h"

namespace vision {

enum class LineStatus {
  ok,
  out_of_sight,   // too little of the cloth is in sight
  no_line,        // nothing stands out from the cloth
  too_short,      // it reaches over too little of the cloth in sight
  not_straight,   // bent or wavy
  too_soft,       // as a shadow's edge or a wrinkle
  several_lines,  // two as good: one must be pointed at
};
inline constexpr int kLineStatusCount = 7;
std::string_view name(LineStatus status);

// A line as it was found on the cloth.
struct FoundLine {
  LineKind kind = LineKind::edge;
  int sign = 1;  // as of LineCandidate, for the direction of place.angle_deg
  LinePlace place;
  double length_mm = 0.0;
  double share = 0.0;          // of its way over the cloth in sight on which it was found
  double rms_mm = 0.0;         // of its points about the straight line
  double bow_mm = 0.0;         // how far its middle lies off the chord, positive to the left
  double contrast = 0.0;       // relative step of the light, or a thin line's darkness times its width, mm
  double width_mm = 0.0;       // of the edge, standard deviation
  double misfit = 0.0;         // share of what is seen across it that is neither edge nor thin line
  double bend_misfit = 1.0;    // of a ridge: the same for a mere bend of the light
  double standing_out = 0.0;   // contrast by length: for comparing lines
  cv::Point2d from_mm, to_mm;  // its ends, hoop frame
  cv::Point2d from_px, to_px;  // for drawing
};

struct LineOptions {
  // Hoop frame: the line next to this point counts, within near_mm.
  std::optional<cv::Point2d> near_mm;
  double near_reach_mm = 10.0;
  // The line of the last frame: the same is looked for, first and faster, hoop frame.
  std::optional<FoundLine> last;
  double least_length_mm = 40.0;
  double least_share = 0.6;        // of its way over the cloth in sight: fingers and stickers' edges reach less far
  double bow_limit_mm = 0.5;       // the larger of the two counts
  double bow_limit_share = 0.005;  // of its length
  double rms_limit_mm = 0.25;
  double edge_width_limit_mm = 0.75, ridge_width_limit_mm = 1.0;
  // Beyond it is neither edge nor thin line, but the flank of something else.
  double edge_misfit_limit = 0.03, ridge_misfit_limit = 0.14;
  double least_bend_misfit = 0.1;  // a ridge that a mere bend of the light explains as well is the end of a soft shadow
  double rival_share = 0.5;        // another line that stands out by so much of the best one's is as good
};

struct LineReading {
  LineStatus status = LineStatus::no_line;
  std::optional<FoundLine> line;  // with ok; with not_straight and too_soft and too_short what was refused
  std::vector<FoundLine> rivals;  // with several_lines: all of them, the best first
};

// grey: 8 bit, one channel, of the lens's size.
LineReading read_line(const cv::Mat& grey, const ClothSight& sight, const LineOptions& options = {});

}  // namespace vision
