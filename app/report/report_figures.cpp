#include "app/report/report_figures.h"

#include <algorithm>
#include <future>
#include <map>
#include <set>

#include "app/report/chosen_pieces.h"

namespace app {
namespace {

// Neighbours mostly have the same.
void find_tolerance(ReportFigures& out, const ChosenPieces& pieces) {
  using Tolerance = std::pair<double, double>;
  std::map<Tolerance, std::size_t> count;
  auto last = count.end();
  for (const PlacedPiece& piece : pieces.placed) {
    const Tolerance one{piece.tolerance_mm, piece.tolerance_deg};
    if (!(one.first > 0.0) || !(one.second > 0.0)) continue;
    if (last == count.end() || last->first != one) last = count.try_emplace(one, 0).first;
    ++last->second;
  }
  out.one_tolerance = count.size() <= 1;
  const auto most =
      std::max_element(count.begin(), count.end(), [](const auto& a, const auto& b) { return a.second < b.second; });
  if (most == count.end()) return;
  out.usual_tolerance_mm = most->first.first;
  out.usual_tolerance_deg = most->first.second;
}

std::size_t hidden_operators(const ReportInput& input, const ChosenPieces& pieces) {
  std::set<NameIndex> found;
  for (const PieceRow* row : pieces.rows)
    if (input.is_hidden(row->operator_name)) found.insert(row->operator_name);
  return found.size();
}

// A proof is of one station: of others' pieces it says nothing.
StationDoubt doubt_for(const ReportInput& input, const ChosenPieces& pieces) {
  const bool its_own = std::all_of(pieces.rows.begin(), pieces.rows.end(),
                                   [&](const PieceRow* row) { return input.is_proved(row->station); });
  return its_own ? input.proof.doubt.value_or(StationDoubt{}) : StationDoubt{};
}

}  // namespace

ReportFigures report_figures(const ReportInput& input) {
  ReportFigures out;
  const ChosenPieces pieces(input.rows);
  out.pieces = input.rows.size();
  out.unreadable = input.rows.size() - pieces.size();
  if (pieces.size() == 0) return out;
  out.first_s = pieces.rows.front()->time_s;
  out.last_s = pieces.rows.back()->time_s;
  find_tolerance(out, pieces);
  out.hidden_operators = hidden_operators(input, pieces);
  const StationDoubt doubt = doubt_for(input, pieces);
  // Beside one another: each is a pass or two over all pieces.
  auto trend = std::async(std::launch::async, [&] { return report_trend(pieces); });
  auto operators = std::async(std::launch::async, [&] { return operator_comparison(input, pieces); });
  out.whole = placement_figures(pieces.placed, doubt);
  std::vector<std::future<GroupedFigures>> groups;
  for (const Grouping by : kGroupings)
    groups.push_back(
        std::async(std::launch::async, [&, by] { return grouped_figures(input, pieces, by, out.whole, doubt); }));
  out.inspection = inspection_figures(pieces);
  out.cost = cost_figures(pieces, input.costs, out.inspection);
  for (std::size_t i = 0; i < groups.size(); ++i) out.groups[i] = groups[i].get();
  hold_against_rest(out.groups, out.whole);
  out.operators = operators.get();
  out.trend = trend.get();
  const std::size_t newest = std::min(pieces.size(), kDartPieces);
  out.newest.assign(pieces.placed.end() - static_cast<std::ptrdiff_t>(newest), pieces.placed.end());
  return out;
}

}  // namespace app
