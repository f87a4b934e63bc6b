// An embroidery machine, as far as turning and moving a design at it goes. What its manual says comes first.
#pragma once

#include <opencv2/core.hpp>
#include <string>
#include <vector>

namespace app {

struct Machine {
  enum class Sense { counter_clockwise, clockwise };   // of a growing rotation, as the machine's screen shows it
  enum class Range { full_turn, half_turns };          // 0 to 359.9, or -180 to 180
  enum class Moves { design, hoop };                   // what the jog's direction words mean
  enum class Order { turn_first, jog_first };          // which the operator enters first
  enum class About { design_centre, field_centre };    // the point about which it turns
  enum class Mirror { none, left_right, top_bottom };  // of all that it stitches, seen from the front

  std::string name;                // unique
  double rotation_step_deg = 1.0;  // 0: it cannot turn a design
  Sense sense = Sense::clockwise;
  Range range = Range::full_turn;
  std::vector<double> turn_keys_deg{90.0, 10.0, 1.0};  // a press of each key
  bool turn_keys_both_ways = true;                     // each key has one for the other direction
  double jog_step_mm = 0.1;                            // of a press
  cv::Size2d jog_limit_mm{0.0, 0.0};  // as far as it moves from the middle, each way; 0: only the field limits it
  Moves moves = Moves::design;
  Order order = Order::turn_first;
  About about = About::design_centre;
  Mirror mirror = Mirror::none;
  std::string note;  // one line, for the operator
};

}  // namespace app
