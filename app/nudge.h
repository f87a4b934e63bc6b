// What the operator has to do with the cloth, from a reading: how far to slide it and how far to turn it.
//
// The reading is the sticker's pose in the hoop frame; the nudge is the cloth's way back onto the hoop, in the
// operator's view of the board (board frame: x to the right, y away from the operator).
#pragma once

#include <string>

#include "app/settings.h"
#include "vision/geometry.h"
#include "vision/reading.h"

namespace app {

// The cloth's motion that brings the sticker's cross onto the hoop's centre and its arrow onto north. The turn is about
// the cross, so turning does not change the slide.
struct Nudge {
  double right_mm = 0.0;      // negative: to the left
  double away_mm = 0.0;       // negative: toward the operator
  double turn_ccw_deg = 0.0;  // [-180, 180), counter-clockwise positive, seen from above
};

Nudge nudge(const vision::Reading& reading, const vision::Pose2& board_from_hoop);

// How far off a hooping may be. Default: common practice for a chest logo.
struct Tolerance {
  double offset_mm = 3.0;
  double rotation_deg = 1.0;
};

// Whether the reading is within the tolerance, kept steady for the eye: "within" is only ever said while it is true,
// and once it was left it is said again only when the reading has come back by a twentieth of the tolerance.
class WithinTolerance {
 public:
  void update(const vision::Reading& reading, const Tolerance& tolerance);
  void forget() { slide_ = turn_ = false; }
  bool slide() const { return slide_; }
  bool turn() const { return turn_; }
  bool both() const { return slide_ && turn_; }

 private:
  bool slide_ = false;
  bool turn_ = false;
};

// A number as shown in the large digits, in fine steps below `fine_below` and in coarse ones above; by default one
// decimal below 10, whole above. It follows the value only when that has left the shown step by a quarter of a step, so
// a value on a step's edge does not flicker. For the eye only.
class SteadyNumber {
 public:
  SteadyNumber() = default;
  // Steps as 10^-decimals.
  SteadyNumber(int fine_decimals, double fine_below, int coarse_decimals)
      : fine_(fine_decimals), coarse_(coarse_decimals), decimals_(fine_decimals), fine_below_(fine_below) {}
  // The number to show for this value; never further from it than 0.75 steps (0.075, or 0.75 from 10 upward).
  double show(double value);
  void forget() { *this = SteadyNumber(fine_, fine_below_, coarse_); }
  int decimals() const { return decimals_; }

 private:
  bool shown_before_ = false;
  double shown_ = 0.0;
  int fine_ = 1, coarse_ = 0, decimals_ = 1;
  double fine_below_ = 10.0;
};

// One instruction as the screen writes it. `sentence` is all of it in words, such as "slide 3.2 mm left".
struct Instruction {
  std::string caption;  // "Slide left", "Turn clockwise"; "On the line", "Straight" when there is nothing to do
  std::string digits;   // "3.2"
  std::string unit;     // "mm", "in", "°"
  std::string sentence;
  double shown = 0.0;  // signed as the nudge is; 0 when there is nothing to do
};

// The shown lengths are in the units; in the language of the screen.
Instruction slide_right_instruction(double shown_right, int decimals, Units units = Units::mm);
Instruction slide_away_instruction(double shown_away, int decimals, Units units = Units::mm);
Instruction turn_instruction(double shown_turn_ccw_deg, int decimals);

}  // namespace app
