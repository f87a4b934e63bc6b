// What to enter at the machine so that the design comes where the reading says, and what is left over.
#pragma once

#include <string>
#include <vector>

#include "app/design/design.h"
#include "app/machine/machine.h"
#include "vision/geometry.h"

namespace app {

struct KeyPresses {
  double key_deg = 0.0;  // signed: the key for the other direction is negative
  int times = 0;
};

struct MachineEntry {
  double rotation = 0.0;         // the number as the machine shows it, in its sense and range
  std::vector<KeyPresses> keys;  // the fewest presses that reach it from 0
  // The jog, in the machine's own sense (what `moves` names), right and up on its screen.
  double jog_right_mm = 0.0, jog_up_mm = 0.0;
  int jog_right_presses = 0, jog_up_presses = 0;  // signed alike
  bool turn_possible = true;                      // false: the machine cannot turn as far as is wanted
  bool jog_possible = true;                       // false: beyond the jog's limits; the jog is what can be reached
  // Where the design comes by this entry.
  vision::Pose2 hoop_from_design;
  // What is left over: wanted less entered. Degrees, and mm at the design's corner that is off most.
  double left_over_deg = 0.0;
  double left_over_mm = 0.0;
};

// `hoop_from_design`: where it is wanted; rotation 0 at (0, 0) is how the machine has it before any entry.
MachineEntry machine_entry(const Machine& machine, const Design& design, const vision::Pose2& hoop_from_design);

}  // namespace app
