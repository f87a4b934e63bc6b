// A habit that shows in somebody's last pieces and that a word can mend: always low, always to the left, always turned
// one way. Only what the figures bear out.
#pragma once

#include <cstddef>
#include <optional>
#include <span>

#include "app/figures/placement.h"

namespace app {

struct Habit {
  enum class Kind { low, high, left, right, clockwise, counter_clockwise };
  Kind kind = Kind::low;
  double amount = 0.0;     // of the mean, mm or degrees; above 0
  std::size_t pieces = 0;  // that lie on that side ...
  std::size_t of = 0;      // ... of so many
};

struct HabitOptions {
  std::size_t last = 20;                   // pieces looked at
  std::size_t least = 12;                  // fewer say nothing
  double least_mm = 0.5, least_deg = 0.3;  // smaller ones are not worth a word
  double chance = 0.005;  // of so large a mean without a habit; small, because several are looked for again and again
};

// The one that takes the largest share of the tolerance; nothing where there is none. In the order of time.
std::optional<Habit> habit(std::span<const PlacedPiece> pieces, const HabitOptions& options = {});

}  // namespace app
