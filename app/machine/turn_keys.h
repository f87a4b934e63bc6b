// The keys that turn a design, and the shortest way to a rotation with them.
#pragma once

#include <vector>

#include "app/machine/machine.h"

namespace app {

struct KeyPresses {
  double key_deg = 0.0;  // signed: the key for the other direction is negative
  int times = 0;
};

// Rotations are counted in finest turns (0.1 degrees), in the machine's own sense, modulo a full turn.
class TurnKeys {
 public:
  static constexpr int kFullTurn = 3600;

  explicit TurnKeys(const Machine& machine);

  // What can be entered is every multiple of this, 0 for a machine that cannot turn. One of several keys can be the
  // cause that it is more than the machine's step.
  int grid() const { return grid_; }

  // The fewest presses that lead from 0 to a multiple of the grid; empty for 0, and where the number is typed in.
  // Found by a breadth-first search over all rotations, so no way is shorter. Of several ways as short the one with
  // the fewest different keys; of these the one with the most presses of the largest key, then of the next, and so on,
  // a key before that for the other direction. They can be pressed in any order; given largest first.
  std::vector<KeyPresses> shortest(int finest_turns) const;

 private:
  std::vector<int> keys_;  // signed, the preferred ones first
  int grid_ = 0;
};

}  // namespace app
