// What to enter at the machine so that the design comes where the reading says, and what is left over.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "app/design/design.h"
#include "app/machine/machine.h"
#include "app/machine/turn_keys.h"
#include "vision/geometry.h"

namespace app {

struct MachineEntry {
  // Whether it can be entered so that only rounding is left over, and if not, why.
  enum class Turn {
    possible,
    too_coarse,  // more than half a degree is left: the machine turns in larger steps
    none,        // likewise, because it cannot turn a design at all
  };

  double rotation = 0.0;         // the number as the machine shows it, in its sense and range
  std::vector<KeyPresses> keys;  // the fewest presses that reach it from 0; empty: nothing, or the number is typed in
  // The jog, in the machine's own sense (what `moves` names), right and up on its screen.
  double jog_right_mm = 0.0, jog_up_mm = 0.0;
  int jog_right_presses = 0, jog_up_presses = 0;  // signed alike
  Turn turn = Turn::possible;
  // False: beyond the jog's limits. The jog is then the nearest that can be entered, `jog_wanted_mm` what it should be.
  bool jog_possible = true;
  cv::Point2d jog_wanted_mm;  // right and up, not rounded
  // Where the design comes by this entry.
  vision::Pose2 hoop_from_design;
  // What is left over: wanted less entered, degrees counter-clockwise on the cloth, and mm at the point of the design's
  // hull that is off most.
  double left_over_deg = 0.0;
  double left_over_mm = 0.0;

  bool possible() const { return turn == Turn::possible && jog_possible; }
};

// `hoop_from_design`: where it is wanted; rotation 0 at (0, 0) is how the machine has it before any entry.
//
// Of the two rotations that can be entered next to the wanted one, and of all jogs with each, it is the pair that
// leaves the least at the hull's point that is off most; of equal ones the nearer rotation. Beyond half a degree, or
// the jog's limits, it is only near that. Without a hull only the design's centre counts, and the nearer rotation.
MachineEntry machine_entry(const Machine& machine, const std::vector<cv::Point2d>& hull_mm,
                           const vision::Pose2& hoop_from_design);
MachineEntry machine_entry(const Machine& machine, const Design& design, const vision::Pose2& hoop_from_design);

// How the machine shows a rotation of its own sense that is counted in finest turns: in its range.
double shown_rotation(const Machine& machine, int finest_turns);

}  // namespace app
