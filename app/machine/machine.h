// An embroidery machine, as far as turning and moving a design at it goes. What its manual says comes first.
//
// What is meant, in one place; entry.cpp computes with it and nothing else:
//  * Before any entry the design lies straight in the middle of the field: its centre on the hoop frame's origin, its
//    top to hoop north, which is the top of the field on the machine's screen.
//  * The screen shows the field from above. Right on it is the hoop's east and up its north, unless `mirror` says
//    otherwise.
//  * Rotation: a number from 0, in steps, that grows in the sense in which the picture on the screen turns. A press of
//  a
//    key adds its degrees; what goes over a full turn begins anew.
//  * Jog: the arrow keys, each press one step; a number for right and one for up.
#pragma once

#include <opencv2/core.hpp>
#include <string>
#include <vector>

namespace app {

struct Machine {
  // How the picture on the machine's screen turns when the rotation grows.
  enum class Sense { counter_clockwise, clockwise };
  // How the number is shown: from 0 to just below 360, or from just above -180 to 180.
  enum class Range { full_turn, half_turns };
  // What goes where the arrow key points. The design: it goes right on the screen. The hoop: the frame itself goes
  // right under the needle as the operator sees it, so that the design comes left on the cloth; this is seen and not
  // shown, so that `mirror` does not change it.
  enum class Moves { design, hoop };
  // Which of the two is entered first. It makes a difference only where the machine turns about the field's centre.
  enum class Order { turn_first, jog_first };
  // The point that stays where it is when the design is turned: the design's centre, wherever it was moved to, or the
  // middle of the hoop's field, so that a design that was moved before swings around it.
  enum class About { design_centre, field_centre };
  // What the screen shows against what comes on the cloth, seen from above. left_right: what is shown right of the
  // middle is stitched left of it; top_bottom: what is shown above it is stitched below. The design is then stored
  // mirrored as well, so that it comes out as the job draws it.
  enum class Mirror { none, left_right, top_bottom };

  std::string name;                // unique; the person's own
  double rotation_step_deg = 1.0;  // of the number; 0: it cannot turn a design
  Sense sense = Sense::clockwise;
  Range range = Range::full_turn;
  // What a press of each key adds, each a multiple of the step. Empty: the number is typed in.
  std::vector<double> turn_keys_deg{90.0, 10.0, 1.0};
  bool turn_keys_both_ways = true;    // each key has one that takes as much away
  double jog_step_mm = 0.1;           // of a press
  cv::Size2d jog_limit_mm{0.0, 0.0};  // sideways and up or down, each way from the middle; 0: only the field limits it
  Moves moves = Moves::design;
  Order order = Order::turn_first;
  About about = About::design_centre;
  Mirror mirror = Mirror::none;
  std::string note;  // one line, for the operator
  bool operator==(const Machine&) const = default;
};

}  // namespace app
