// The direction in which the cloth repeats itself: stripes, checks, ribs. It serves as the line where there is none.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <string_view>
#include <utility>
#include <vector>

#include "vision/cloth_sight.h"

namespace vision {

enum class WeaveStatus {
  ok,
  out_of_sight,  // too little of the cloth is in sight
  no_direction,  // nothing repeats clearly
  not_straight,  // it repeats, but bends: the cloth is pulled askew
};
inline constexpr int kWeaveStatusCount = 4;
std::string_view name(WeaveStatus status);

// One set of stripes. Expanded uncertainties, k = 2.
struct WeaveDirection {
  double angle_deg = 0.0;  // of the stripes' run, counter-clockwise from the hoop's +x, in (-90, 90]
  double u_angle_deg = 0.0;
  double period_mm = 0.0, u_period_mm = 0.0;
  double distance_mm = 0.0;   // of a bright stripe's middle from the hoop's centre, to the left of the direction
  double coherence = 0.0;     // 1: the stripes keep step over all of the cloth in sight
  double standing_out = 0.0;  // power over that of the texture at like periods
  double wave_mm = 0.0;       // rms of the stripes about straight ones
};

struct WeaveReading {
  WeaveStatus status = WeaveStatus::no_direction;
  std::optional<WeaveDirection> main;   // with ok, and what was refused with not_straight
  std::optional<WeaveDirection> cross;  // checks and plaids: the other set, about square to the first
  // Checks whose two sets look the same: which is which cannot be told, the direction holds up to quarter turns.
  bool quarter_turn_alike = false;
};

struct WeaveOptions {
  double shortest_mm = 1.8, longest_mm = 30.0;  // periods
  double least_standing_out = 25.0;
  double least_coherence = 0.8;
  double wave_limit_mm = 0.6;
  double cross_share = 0.08;     // of the main direction's power: less is no second set
  double square_limit_deg = 15;  // the second set is that near to square
  double alike_share = 0.02;     // periods this equal look the same
};

// grey: 8 bit, one channel, of the lens's size.
WeaveReading read_weave(const cv::Mat& grey, const ClothSight& sight, const WeaveOptions& options = {});

// The same of a patch that is laid out already; angles without the ring's and the camera's share of the uncertainty.
WeaveReading weave_of(const ClothPatch& patch, const WeaveOptions& options = {});

}  // namespace vision
