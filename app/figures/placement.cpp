#include "app/figures/placement.h"

#include <algorithm>
#include <cmath>

namespace app {
namespace {

constexpr Interval kLimits{-1.0, 1.0};

template <class Value>
std::vector<double> column(std::span<const PlacedPiece> pieces, const Value& value) {
  std::vector<double> out;
  out.reserve(pieces.size());
  for (const PlacedPiece& piece : pieces) out.push_back(value(piece));
  return out;
}

// A piece without a tolerance (an old record) says nothing here.
template <class Value>
std::vector<double> shares(std::span<const PlacedPiece> pieces, const Value& value) {
  std::vector<double> out = column(pieces, value);
  std::erase_if(out, [](double share) { return !std::isfinite(share); });
  return out;
}

std::optional<double> without(double sd, double doubt) {
  if (!(sd > doubt)) return std::nullopt;
  return std::sqrt(sd * sd - doubt * doubt);
}

double median(std::vector<double> values) {
  if (values.empty()) return 0.0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  if (values.size() % 2 == 1) return *middle;
  return 0.5 * (*middle + *std::max_element(values.begin(), middle));
}

PlacementTrend::Row row(std::vector<double> values) {
  PlacementTrend::Row row;
  row.values = std::move(values);
  row.individuals = individuals_chart(row.values);
  row.signals = control_signals(row.values, row.individuals.centre, row.individuals.sigma);
  if (row.values.size() >= 2) row.ewma = ewma_chart(row.values, row.individuals.centre, row.individuals.sigma);
  return row;
}

double turn(const PlacedPiece& piece) { return std::remainder(piece.rotation_deg, 360.0); }

}  // namespace

bool PlacedPiece::within() const {
  return std::hypot(offset_mm.x, offset_mm.y) <= tolerance_mm && std::abs(turn(*this)) <= tolerance_deg;
}

PlacementFigures placement_figures(std::span<const PlacedPiece> pieces, const StationDoubt& doubt) {
  PlacementFigures figures;
  figures.count = pieces.size();
  std::vector<cv::Point2d> offsets;
  std::size_t first_tries = 0;
  double tries = 0.0;
  for (const PlacedPiece& piece : pieces) {
    offsets.push_back(piece.offset_mm);
    figures.within += piece.within() ? 1 : 0;
    first_tries += piece.tries <= 1 ? 1 : 0;
    tries += piece.tries;
  }
  figures.within_share = wilson_interval(figures.within, figures.count);
  figures.offset = offset_scatter(offsets);
  figures.circle = holding_circle(offsets);
  figures.rotation = circular(column(pieces, turn));
  figures.rotation_half_deg = interval_of_direction_deg(figures.rotation);
  figures.x = capability(shares(pieces, [](const PlacedPiece& p) { return p.offset_mm.x / p.tolerance_mm; }), kLimits);
  figures.y = capability(shares(pieces, [](const PlacedPiece& p) { return p.offset_mm.y / p.tolerance_mm; }), kLimits);
  figures.turn = capability(shares(pieces, [](const PlacedPiece& p) { return turn(p) / p.tolerance_deg; }), kLimits);
  figures.people_x_mm = without(figures.offset.x.sd, doubt.offset_mm);
  figures.people_y_mm = without(figures.offset.y.sd, doubt.offset_mm);
  figures.people_turn_deg = without(figures.rotation.circular_sd_deg, doubt.rotation_deg);
  std::vector<double> seconds = column(pieces, [](const PlacedPiece& p) { return p.seconds; });
  std::erase_if(seconds, [](double s) { return !(s > 0.0); });
  figures.median_seconds = median(std::move(seconds));
  if (!pieces.empty()) {
    figures.mean_tries = tries / static_cast<double>(pieces.size());
    figures.first_try_share = static_cast<double>(first_tries) / static_cast<double>(pieces.size());
  }
  return figures;
}

PlacementTrend placement_trend(std::span<const PlacedPiece> pieces) {
  return {row(column(pieces, [](const PlacedPiece& p) { return p.offset_mm.x; })),
          row(column(pieces, [](const PlacedPiece& p) { return p.offset_mm.y; })), row(column(pieces, turn))};
}

}  // namespace app
