#include <algorithm>
#include <cmath>

#include "app/report/chosen_pieces.h"

namespace app {
namespace {

double median(std::vector<double> values) {
  if (values.empty()) return 0.0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  if (values.size() % 2 == 1) return *middle;
  return 0.5 * (*middle + *std::max_element(values.begin(), middle));
}

}  // namespace

InspectionFigures inspection_figures(const ChosenPieces& pieces) {
  InspectionFigures out;
  std::vector<cv::Point2d> offsets;
  for (const PieceRow* row : pieces.rows) {
    if (!row->inspected) continue;
    ++out.inspected;
    ++out.count[static_cast<std::size_t>(row->outcome)];
    if (std::isfinite(row->final_x_mm) && std::isfinite(row->final_y_mm))
      offsets.emplace_back(row->final_x_mm, row->final_y_mm);
  }
  for (std::size_t i = 0; i < out.count.size(); ++i) out.share[i] = wilson_interval(out.count[i], out.inspected);
  out.measured = offsets.size();
  out.final_offset = offset_scatter(offsets);
  out.final_circle = holding_circle(offsets);
  return out;
}

CostFigures cost_figures(const ChosenPieces& pieces, const ReportCosts& costs, const InspectionFigures& inspection) {
  CostFigures out;
  std::vector<double> once;
  double all_s = 0.0;
  for (const PlacedPiece& piece : pieces.placed) {
    if (!(piece.seconds > 0.0)) continue;
    ++out.timed;
    all_s += piece.seconds;
    if (piece.tries <= 1) once.push_back(piece.seconds);
  }
  if (out.timed > 0) {
    const auto timed = static_cast<double>(out.timed);
    const bool compared = !once.empty();
    const double usual_s = median(std::move(once));
    out.minutes_per_100 = all_s / timed * 100.0 / 60.0;
    double lost = 0.0;
    for (const PlacedPiece& piece : pieces.placed) {
      if (!(piece.seconds > 0.0) || piece.tries <= 1) continue;
      ++out.repeated;
      lost += std::max(0.0, piece.seconds - usual_s) / 60.0;
    }
    if (compared) {
      out.minutes_lost = lost;
      out.minutes_lost_per_100 = lost / timed * 100.0;
    }
  }
  if (costs.hour && out.minutes_lost) out.lost_time_cost = *costs.hour * *out.minutes_lost / 60.0;
  if (costs.garment && inspection.inspected > 0)
    out.rejects_cost =
        *costs.garment * static_cast<double>(inspection.count[static_cast<std::size_t>(Outcome::reject)]);
  return out;
}

}  // namespace app
