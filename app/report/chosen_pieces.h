// The pieces that figures are made of, in one block, so that every figure is one pass.
#pragma once

#include <cmath>
#include <span>
#include <vector>

#include "app/report/report_figures.h"

namespace app {

struct ChosenPieces {
  explicit ChosenPieces(std::span<const PieceRow> all) {
    rows.reserve(all.size());
    placed.reserve(all.size());
    for (const PieceRow& row : all) {
      if (!has_place(row)) continue;
      rows.push_back(&row);
      placed.push_back(app::placed(row));
    }
  }
  std::size_t size() const { return rows.size(); }
  double distance_mm(std::size_t i) const { return std::hypot(placed[i].offset_mm.x, placed[i].offset_mm.y); }

  std::vector<const PieceRow*> rows;
  std::vector<PlacedPiece> placed;  // of each
};

inline NameIndex name_of(const PieceRow& row, Grouping by) {
  switch (by) {
    case Grouping::operator_name:
      return row.operator_name;
    case Grouping::job:
      return row.job;
    case Grouping::garment:
      return row.garment;
    case Grouping::cloth:
      return row.cloth;
    case Grouping::hoop:
      return row.hoop;
    case Grouping::station:
      return row.station;
    case Grouping::machine:
      break;
  }
  return row.machine;
}

GroupedFigures grouped_figures(const ReportInput& input, const ChosenPieces& pieces, Grouping by,
                               const PlacementFigures& whole, const StationDoubt& doubt);
// Marks the groups, of all groupings together, whose share in tolerance differs from that of all other pieces.
void hold_against_rest(std::span<GroupedFigures> all, const PlacementFigures& whole);
OperatorComparison operator_comparison(const ReportInput& input, const ChosenPieces& pieces);
ReportTrend report_trend(const ChosenPieces& pieces);
InspectionFigures inspection_figures(const ChosenPieces& pieces);
CostFigures cost_figures(const ChosenPieces& pieces, const ReportCosts& costs, const InspectionFigures& inspection);

}  // namespace app
