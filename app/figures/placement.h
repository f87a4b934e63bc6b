// What the pieces of somebody, of a job or of a hoop say together: how far off they were hooped, how evenly, and how
// often within the tolerance. Numbers in, numbers out.
#pragma once

#include <cstddef>
#include <opencv2/core.hpp>
#include <optional>
#include <span>
#include <vector>

#include "app/figures/capability.h"
#include "app/figures/circle.h"
#include "app/figures/circular.h"
#include "app/figures/control_chart.h"

namespace app {

// One hooped piece, as far as the figures need it. Offsets in the hoop's frame: right and up as the machine has it.
struct PlacedPiece {
  cv::Point2d offset_mm;
  double rotation_deg = 0.0;
  double tolerance_mm = 0.0, tolerance_deg = 0.0;
  double seconds = 0.0;  // from the hoop's setting to the reading; 0: not known
  int tries = 1;
  bool within() const;
};

// How far off readings of the station itself can be, k = 1, from its last proof; zeros where it was not proved.
struct StationDoubt {
  double offset_mm = 0.0;  // of each axis
  double rotation_deg = 0.0;
};

struct PlacementFigures {
  std::size_t count = 0, within = 0;
  Interval within_share;  // Wilson, 95 %
  OffsetScatter offset;
  HoldingCircle circle;  // about the hoop's middle, holds 95 %
  Circular rotation;
  std::optional<double> rotation_half_deg;  // of the mean's 95 % interval
  // In shares of each piece's own tolerance, so that jobs of different tolerance count together: limits -1 and 1.
  Capability x, y, turn;
  // What is left of the spread when the station's own doubt is taken out: the people's part. Nothing where the spread
  // is no larger than that doubt.
  std::optional<double> people_x_mm, people_y_mm, people_turn_deg;
  double median_seconds = 0.0;  // of those that are known; 0: none
  double mean_tries = 0.0;
  double first_try_share = 0.0;
};

// In the order of time.
PlacementFigures placement_figures(std::span<const PlacedPiece> pieces, const StationDoubt& doubt = {});

// The offsets to the right, upward, and the turns, in the order of time, each with its charts.
struct PlacementTrend {
  struct Row {
    std::vector<double> values;
    IndividualsChart individuals;
    std::vector<ControlSignal> signals;
    EwmaChart ewma;  // about the mean, with the chart's sigma
  };
  Row x_mm, y_mm, turn_deg;
};
PlacementTrend placement_trend(std::span<const PlacedPiece> pieces);

}  // namespace app
