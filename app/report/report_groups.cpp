#include <algorithm>

#include "app/report/chosen_pieces.h"

namespace app {
namespace {

// Pieces of each name.
std::vector<std::size_t> counts(const ReportInput& input, const ChosenPieces& pieces, Grouping by) {
  std::vector<std::size_t> count(input.names->size());
  for (const PieceRow* row : pieces.rows) ++count[name_of(*row, by)];
  return count;
}

// The names with pieces, in the order in which they are shown.
std::vector<NameIndex> shown_names(const ReportInput& input, const std::vector<std::size_t>& count, Grouping by) {
  std::vector<NameIndex> names;
  for (NameIndex name = 0; name < count.size(); ++name)
    if (count[name] > 0 && !(by == Grouping::operator_name && input.is_hidden(name))) names.push_back(name);
  const bool numbered = by == Grouping::operator_name && input.names_left_out();
  const auto by_name = [&](NameIndex a, NameIndex b) {
    return numbered ? input.numbers[a] < input.numbers[b] : (*input.names)[a] < (*input.names)[b];
  };
  std::sort(names.begin(), names.end(), by_name);
  if (by != Grouping::operator_name || names.size() > kMostGroups)
    std::stable_sort(names.begin(), names.end(), [&](NameIndex a, NameIndex b) { return count[a] > count[b]; });
  if (by == Grouping::operator_name && names.size() > kMostGroups)
    std::sort(names.begin(), names.begin() + kMostGroups, by_name);
  return names;
}

}  // namespace

GroupedFigures grouped_figures(const ReportInput& input, const ChosenPieces& pieces, Grouping by,
                               const PlacementFigures& whole, const StationDoubt& doubt) {
  GroupedFigures out;
  out.by = by;
  const std::vector<std::size_t> count = counts(input, pieces, by);
  std::vector<NameIndex> names = shown_names(input, count, by);
  for (std::size_t i = kMostGroups; i < names.size(); ++i) out.more_pieces += count[names[i]];
  out.more = names.size() > kMostGroups ? names.size() - kMostGroups : 0;
  names.resize(names.size() - out.more);
  if (names.size() == 1 && count[names.front()] == pieces.size()) {
    out.groups.push_back({names.front(), whole, false, false});
    return out;
  }
  constexpr std::size_t kNone = static_cast<std::size_t>(-1);
  std::vector<std::size_t> place(count.size(), kNone);
  std::vector<std::vector<PlacedPiece>> sorted(names.size());
  for (std::size_t i = 0; i < names.size(); ++i) {
    place[names[i]] = i;
    sorted[i].reserve(count[names[i]]);
  }
  for (std::size_t i = 0; i < pieces.size(); ++i)
    if (const std::size_t to = place[name_of(*pieces.rows[i], by)]; to != kNone) sorted[to].push_back(pieces.placed[i]);
  for (std::size_t i = 0; i < names.size(); ++i)
    out.groups.push_back({names[i], placement_figures(sorted[i], doubt), false, false});
  return out;
}

void hold_against_rest(std::span<GroupedFigures> all, const PlacementFigures& whole) {
  std::vector<ReportGroup*> tested;
  std::vector<double> p;
  for (GroupedFigures& grouped : all)
    for (ReportGroup& group : grouped.groups) {
      const PlacementFigures& own = group.figures;
      if (own.count < kLeastForTrouble || whole.count - own.count < kLeastForTrouble) continue;
      tested.push_back(&group);
      p.push_back(fisher_p(own.within, own.count, whole.within - own.within, whole.count - own.count));
    }
  correct_after_holm(p);
  for (std::size_t i = 0; i < tested.size(); ++i) {
    if (!(p[i] < ComparisonOptions{}.level)) continue;
    const PlacementFigures& own = tested[i]->figures;
    const bool below = own.within * whole.count < whole.within * own.count;
    (below ? tested[i]->worse : tested[i]->better) = true;
  }
}

OperatorComparison operator_comparison(const ReportInput& input, const ChosenPieces& pieces) {
  OperatorComparison out;
  const std::vector<std::size_t> count = counts(input, pieces, Grouping::operator_name);
  for (const NameIndex name : shown_names(input, count, Grouping::operator_name))
    if (!(*input.names)[name].empty() && out.names.size() < kMostGroups) out.names.push_back(name);
  std::vector<std::size_t> place(count.size(), out.names.size());
  std::vector<std::vector<double>> values(out.names.size() + 1);  // the last is nobody's
  for (std::size_t i = 0; i < out.names.size(); ++i) place[out.names[i]] = i;
  for (std::size_t i = 0; i < pieces.size(); ++i)
    if (pieces.placed[i].tolerance_mm > 0.0)
      values[place[pieces.rows[i]->operator_name]].push_back(100.0 * pieces.distance_mm(i) /
                                                             pieces.placed[i].tolerance_mm);
  values.pop_back();
  out.comparison = compare(values);
  return out;
}

}  // namespace app
