// How the pieces sat from week to week (from day to day where there are two weeks at most), and whether it gets better.
// Rows in, numbers out.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "app/figures/control_chart.h"
#include "app/records/piece_rows.h"

namespace app {

enum class TrendOf { distance, right, up, turn };
inline constexpr int kTrendsOf = 4;

struct TrendBin {
  std::int64_t begin_s = 0;  // midnight here, of the day or of the week's Monday
  std::size_t count = 0;
  double mean = 0.0;                // mm or degrees
  double sd = 0.0;                  // NaN for one piece
  std::optional<Interval> of_mean;  // 95 %
};

// Fewer pieces than kFullBin make a bin that is drawn but judged by nothing; the rules of a chart need kBinsForChart.
inline constexpr std::size_t kFullBin = 5, kBinsForChart = 8, kBinsForVerdict = 5;

struct TrendRow {
  std::vector<TrendBin> bins;             // in the order of time; without those that have no piece
  std::optional<IndividualsChart> chart;  // of the means of full bins
  std::vector<ControlSignal> signals;     // `at` is the bin's place in `bins`
};

// Of the mean distance, by a straight line through the full bins' means, each weighed by its pieces. `from` and `to`
// are the line's ends.
struct TrendVerdict {
  enum class Kind { too_few, no_change, better, worse } kind = Kind::too_few;
  double from_mm = 0.0, to_mm = 0.0;
};
// The chance that a row without a trend is called better or worse.
inline constexpr double kFalseVerdict = 0.05;

struct Trend {
  bool days = false;
  std::array<TrendRow, kTrendsOf> rows;  // in the order of TrendOf
  TrendVerdict verdict;
  double tolerance_mm = 0.0, tolerance_deg = 0.0;  // of the newest piece
};

// In the order of time. Distances from the hoop's middle, offsets and turns as PieceRow has them.
Trend trend(std::span<const PieceRow> pieces);

}  // namespace app
