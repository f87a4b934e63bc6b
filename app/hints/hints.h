// What somebody's (or the shop's) last pieces say that a word can mend, of all of them and of each hoop, cloth,
// garment, machine and job: the habits, each with the pieces that show it. Rows in, hints out.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "app/figures/habit.h"
#include "app/records/piece_rows.h"

namespace app {

struct Hint {
  enum class Of { all, hoop, cloth, garment, job, machine };
  Habit habit;
  Of of = Of::all;
  std::string name;                // of the hoop, cloth ...; empty: of all
  std::vector<PieceRow> evidence;  // the pieces looked at, in the order of time
};

inline constexpr std::size_t kMostHints = 4;
inline constexpr std::size_t kNewestForHints = 5000;  // pieces before these say nothing of today's hands
// Of all hints of one look: the chance that pieces without any habit give one, or more. HabitOptions::chance is shared
// among the groups looked at; in each of them three figures (right, up, turn) are.
inline constexpr double kFalseHints = 3.0 * HabitOptions{}.chance;

// Pieces of one operator, or of the shop, in the order of time; `names` as PieceRows has them. Those set aside say
// nothing. A group is named only where all pieces do not say the same already, or it is clearly worse. The largest
// share of the tolerance first, at most kMostHints.
std::vector<Hint> hints(std::span<const PieceRow> pieces, const std::vector<std::string>& names);

}  // namespace app
