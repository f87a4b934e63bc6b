// The drawings of a report. Nothing in them is told by colour alone: marks differ in shape, lines in their dashes.
#pragma once

#include <string>
#include <vector>

#include "app/report/report_figures.h"
#include "app/report/report_words.h"
#include "app/report/svg.h"

namespace app {

struct DartBoard {
  std::span<const PlacedPiece> pieces;
  double tolerance_mm = 0.0;  // 0: no circle
  cv::Point2d mean_mm;
  double holding_mm = 0.0;  // NaN: no circle
};
// Where the pieces lie about the mark, to scale; those too far off are drawn at its rim.
Svg dart_board(const DartBoard& board, const ReportWords& words);

// Mean distance from the mark with its interval, and the share in tolerance with its own, of each period.
Svg trend_plot(const ReportTrend& trend, double tolerance_mm, const ReportWords& words);

struct ControlPlot {
  std::string name;     // "Upward"
  std::string unit;     // "mm"
  double factor = 1.0;  // of the row's values to that unit
};
// Individuals with their signals, moving ranges, and the weighted average, one above the other.
Svg control_plot(const PlacementTrend::Row& row, const ControlPlot& what);

// A bar for each group's mean and interval, per cent of the tolerance.
Svg interval_plot(const std::vector<std::string>& names, const Comparison& comparison);

}  // namespace app
