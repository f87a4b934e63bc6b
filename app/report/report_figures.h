// All numbers of a report. Numbers in, numbers out: the words are others'.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "app/figures/comparison.h"
#include "app/report/report_input.h"

namespace app {

enum class Grouping { operator_name, job, garment, cloth, hoop, station, machine };
inline constexpr std::array kGroupings{Grouping::operator_name, Grouping::job,     Grouping::garment, Grouping::cloth,
                                       Grouping::hoop,          Grouping::station, Grouping::machine};

struct ReportGroup {
  NameIndex name = 0;
  PlacementFigures figures;
  // The share in tolerance lies below, or above, that of all other pieces by more than chance: Fisher's exact test at
  // 0.05, after Holm for all groups of the report, so that one of many does not stand out by being one of many.
  bool worse = false, better = false;
};

// Operators by name, which ranks nobody; everything else by count. Hidden operators are left out.
struct GroupedFigures {
  Grouping by = Grouping::operator_name;
  std::vector<ReportGroup> groups;
  std::size_t more = 0, more_pieces = 0;  // groups beyond kMostGroups, and their pieces
};
inline constexpr std::size_t kMostGroups = 20;
inline constexpr std::size_t kLeastForTrouble = 10;  // pieces of a group that may be called the trouble

enum class TrendStep { day, week, month };
struct TrendPeriod {
  std::string label;  // "2026-01-31", "2026-W05" (ISO 8601), "2026-01"; local time
  std::size_t count = 0, within = 0;
  Interval within_share;
  cv::Point2d mean_offset_mm;
  Univariate distance_mm;  // from the mark
  Interval mean_distance_mm;
};
// Whether the newest pieces lie nearer to the mark than those before.
struct ReportChange {
  enum class Verdict { unknown, better, worse, as_before };
  Verdict verdict = Verdict::unknown;
  bool newest_weeks = false;  // the newest four weeks; otherwise the newer half
  std::size_t before_count = 0, after_count = 0;
  double before_mm = 0.0, after_mm = 0.0;  // mean distance
  double p = 1.0;
};
struct ReportTrend {
  TrendStep step = TrendStep::week;
  std::vector<TrendPeriod> periods;  // those with pieces
  ReportChange change;
  PlacementTrend charts;  // of the newest kChartPieces
};
inline constexpr std::size_t kChartPieces = 100;

// Distance from the mark in per cent of each piece's tolerance.
struct OperatorComparison {
  std::vector<NameIndex> names;  // by name; those without a name are not compared
  Comparison comparison;         // groups as `names`
};

struct InspectionFigures {
  std::size_t inspected = 0;
  std::array<std::size_t, kOutcomeCount> count{};
  std::array<Interval, kOutcomeCount> share{};  // Wilson, 95 %
  OffsetScatter final_offset;                   // of those that were measured
  HoldingCircle final_circle;
  std::size_t measured = 0;
};

struct CostFigures {
  std::size_t timed = 0;         // pieces whose hooping time is known
  double minutes_per_100 = 0.0;  // of hooping
  std::size_t repeated = 0;      // pieces with more than one try, timed
  // Beyond the usual time of a piece with one try, in all. Nothing where no piece was hooped at the first try.
  std::optional<double> minutes_lost, minutes_lost_per_100;
  std::optional<double> lost_time_cost, rejects_cost;  // in all
};

struct ReportFigures {
  std::size_t pieces = 0;      // that were asked for
  std::size_t unreadable = 0;  // of these, without an offset or a tolerance: in no figure
  std::int64_t first_s = 0, last_s = 0;
  double usual_tolerance_mm = 0.0, usual_tolerance_deg = 0.0;  // of most pieces
  bool one_tolerance = true;
  std::size_t hidden_operators = 0;
  PlacementFigures whole;  // people's part only where one station made all of them
  std::array<GroupedFigures, kGroupings.size()> groups;
  ReportTrend trend;
  OperatorComparison operators;
  InspectionFigures inspection;
  CostFigures cost;
  std::vector<PlacedPiece> newest;  // at most kDartPieces, in the order of time
  const GroupedFigures& by(Grouping one) const { return groups[static_cast<std::size_t>(one)]; }
};
inline constexpr std::size_t kDartPieces = 400;

ReportFigures report_figures(const ReportInput& input);

}  // namespace app
