#include "app/figures/habit.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "calib/distributions.h"

namespace app {
namespace {

struct Candidate {
  Habit habit;
  double share = 0.0;  // of the tolerance
};

// `tolerance`: the usual one of these pieces; 0 where it is not known.
std::optional<Candidate> candidate(const std::vector<double>& values, Habit::Kind below, Habit::Kind above,
                                   double least, double tolerance, double chance) {
  const Univariate figures = univariate(values);
  if (!(std::abs(figures.mean) >= least)) return std::nullopt;
  const auto n = static_cast<double>(values.size());
  const double t = figures.sd > 0.0 ? std::abs(figures.mean) / (figures.sd / std::sqrt(n)) : 1e9;
  if (2.0 * (1.0 - calib::student_cdf(t, n - 1.0)) > chance) return std::nullopt;
  Candidate found;
  found.habit.kind = figures.mean < 0.0 ? below : above;
  found.habit.amount = std::abs(figures.mean);
  found.habit.of = values.size();
  for (const double value : values) found.habit.pieces += value * figures.mean > 0.0 ? 1 : 0;
  found.share = tolerance > 0.0 ? found.habit.amount / tolerance : 0.0;
  return found;
}

}  // namespace

std::optional<Habit> habit(std::span<const PlacedPiece> pieces, const HabitOptions& options) {
  const std::span<const PlacedPiece> last = pieces.last(std::min(pieces.size(), options.last));
  if (last.size() < options.least) return std::nullopt;
  std::vector<double> x, y, turns;
  for (const PlacedPiece& piece : last) {
    x.push_back(piece.offset_mm.x);
    y.push_back(piece.offset_mm.y);
    turns.push_back(std::remainder(piece.rotation_deg, 360.0));
  }
  const double tolerance_mm = last.back().tolerance_mm, tolerance_deg = last.back().tolerance_deg;
  using Kind = Habit::Kind;
  std::optional<Candidate> best;
  for (const auto& found :
       {candidate(y, Kind::low, Kind::high, options.least_mm, tolerance_mm, options.chance),
        candidate(x, Kind::left, Kind::right, options.least_mm, tolerance_mm, options.chance),
        candidate(turns, Kind::clockwise, Kind::counter_clockwise, options.least_deg, tolerance_deg, options.chance)})
    if (found && (!best || found->share > best->share)) best = found;
  return best ? std::optional(best->habit) : std::nullopt;
}

}  // namespace app
