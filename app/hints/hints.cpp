#include "app/hints/hints.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <utility>

#include "app/figures/univariate.h"

namespace app {
namespace {

using Of = Hint::Of;
using Kind = Habit::Kind;

// In this order a group is named where several are the very same pieces.
constexpr std::pair<Of, NameIndex PieceRow::*> kGroups[] = {{Of::hoop, &PieceRow::hoop},
                                                            {Of::cloth, &PieceRow::cloth},
                                                            {Of::garment, &PieceRow::garment},
                                                            {Of::machine, &PieceRow::machine},
                                                            {Of::job, &PieceRow::job}};
// A group is worse than all pieces that have its habit too where its mean is so much larger, and surely larger.
constexpr double kClearlyWorse = 1.5;
// Groups that share more of their pieces than this are one and the same trouble.
constexpr double kSamePieces = 0.5;

struct Group {
  Of of = Of::all;
  NameIndex name = 0;
  std::vector<const PieceRow*> last;  // the newest first
};

bool is_turn(Kind kind) { return kind == Kind::clockwise || kind == Kind::counter_clockwise; }

double value(const PieceRow& row, Kind kind) {
  if (is_turn(kind)) return std::remainder(static_cast<double>(row.rotation_deg), 360.0);
  return kind == Kind::left || kind == Kind::right ? row.offset_x_mm : row.offset_y_mm;
}

double share_of_tolerance(const Hint& hint) {
  const PieceRow& last = hint.evidence.back();
  const double tolerance = is_turn(hint.habit.kind) ? last.tolerance_deg : last.tolerance_mm;
  return tolerance > 0.0 ? hint.habit.amount / tolerance : 0.0;
}

// The last pieces of all and of each group that has enough; groups of the same pieces once.
std::vector<Group> groups_of(std::span<const PieceRow> pieces) {
  constexpr HabitOptions kOptions;
  Group all;
  std::map<std::pair<Of, NameIndex>, Group> by_name;
  for (std::size_t i = pieces.size(); i-- > 0;) {
    const PieceRow& row = pieces[i];
    if (row.set_aside) continue;
    if (all.last.size() < kOptions.last) all.last.push_back(&row);
    for (const auto& [of, member] : kGroups) {
      if (row.*member == 0) continue;
      Group& group = by_name[{of, row.*member}];
      if (group.last.size() < kOptions.last) group.last.push_back(&row);
    }
  }
  std::vector<Group> out{std::move(all)};
  for (const auto& [of, member] : kGroups)
    for (auto& [key, group] : by_name)
      if (key.first == of) out.push_back({of, key.second, std::move(group.last)});
  std::vector<Group> different;
  for (Group& one : out) {
    const auto same = [&one](const Group& other) { return other.last == one.last; };
    if (one.last.size() >= kOptions.least && std::none_of(different.begin(), different.end(), same))
      different.push_back(std::move(one));
  }
  return different;
}

std::optional<Hint> hint_of(const Group& group, const std::vector<std::string>& names, double chance) {
  Hint hint;
  hint.of = group.of;
  if (group.of != Of::all) hint.name = names.at(group.name);
  std::vector<PlacedPiece> pieces;
  for (auto row = group.last.rbegin(); row != group.last.rend(); ++row) {
    hint.evidence.push_back(**row);
    pieces.push_back(placed(**row));
  }
  HabitOptions options;
  options.chance = chance;
  const std::optional<Habit> found = habit(pieces, options);
  if (!found) return std::nullopt;
  hint.habit = *found;
  return hint;
}

// The mean of the group's pieces lies surely beyond that of all.
bool clearly_worse(const Hint& group, const Hint& all) {
  if (group.habit.amount < kClearlyWorse * all.habit.amount) return false;
  std::vector<double> values;
  for (const PieceRow& row : group.evidence) values.push_back(value(row, group.habit.kind));
  const Interval mean = interval_of_mean(univariate(values));
  return std::min(std::abs(mean.low), std::abs(mean.high)) > all.habit.amount;
}

std::size_t shared_pieces(const Hint& a, const Hint& b) {
  return static_cast<std::size_t>(std::count_if(a.evidence.begin(), a.evidence.end(), [&b](const PieceRow& one) {
    return std::any_of(b.evidence.begin(), b.evidence.end(),
                       [&one](const PieceRow& other) { return other.seq == one.seq; });
  }));
}

bool says_the_same(const Hint& one, const Hint& said) {
  if (one.habit.kind != said.habit.kind) return false;
  if (said.of == Of::all) return !clearly_worse(one, said);
  const auto fewer = static_cast<double>(std::min(one.evidence.size(), said.evidence.size()));
  return static_cast<double>(shared_pieces(one, said)) > kSamePieces * fewer;
}

}  // namespace

std::vector<Hint> hints(std::span<const PieceRow> pieces, const std::vector<std::string>& names) {
  const std::vector<Group> groups = groups_of(pieces.last(std::min(pieces.size(), kNewestForHints)));
  std::vector<Hint> found;
  for (const Group& group : groups)
    if (auto hint = hint_of(group, names, HabitOptions{}.chance / static_cast<double>(groups.size())))
      found.push_back(std::move(*hint));
  // All pieces first, then the largest: what those say is not said again.
  std::stable_sort(found.begin(), found.end(), [](const Hint& a, const Hint& b) {
    if ((a.of == Of::all) != (b.of == Of::all)) return a.of == Of::all;
    return share_of_tolerance(a) > share_of_tolerance(b);
  });
  std::vector<Hint> out;
  for (Hint& one : found)
    if (std::none_of(out.begin(), out.end(), [&one](const Hint& said) { return says_the_same(one, said); }))
      out.push_back(std::move(one));
  std::stable_sort(out.begin(), out.end(),
                   [](const Hint& a, const Hint& b) { return share_of_tolerance(a) > share_of_tolerance(b); });
  if (out.size() > kMostHints) out.resize(kMostHints);
  return out;
}

}  // namespace app
