#include "app/nudge.h"

#include <cmath>
#include <cstdio>

#include "app/format.h"
#include "app/units.h"
#include "app/words/words.h"

namespace app {
namespace {

struct SlideWords {
  const char *caption, *sentence;
};
constexpr SlideWords kRight{noop("Slide right"), noop("slide %s right")};
constexpr SlideWords kLeft{noop("Slide left"), noop("slide %s left")};
constexpr SlideWords kAway{noop("Slide away from you"), noop("slide %s away from you")};
constexpr SlideWords kToward{noop("Slide toward you"), noop("slide %s toward you")};

Instruction slide(double shown, int decimals, Units units, const SlideWords& positive, const SlideWords& negative,
                  const char* nothing) {
  Instruction i;
  i.shown = shown;
  i.digits = number(std::abs(shown), decimals);
  i.unit = unit_word(units);
  if (shown == 0.0) {
    i.caption = tr("On the line");
    i.sentence = tr(nothing);
    return i;
  }
  const SlideWords& words = shown > 0.0 ? positive : negative;
  i.caption = tr(words.caption);
  i.sentence = format(tr(words.sentence), (i.digits + " " + i.unit).c_str());
  return i;
}

}  // namespace

Nudge nudge(const vision::Reading& reading, const vision::Pose2& board_from_hoop) {
  const double c = std::cos(board_from_hoop.angle_rad);
  const double s = std::sin(board_from_hoop.angle_rad);
  Nudge n;
  n.right_mm = -(c * reading.offset_x_mm - s * reading.offset_y_mm);
  n.away_mm = -(s * reading.offset_x_mm + c * reading.offset_y_mm);
  n.turn_ccw_deg = -reading.rotation_deg;
  return n;
}

void WithinTolerance::update(const vision::Reading& reading, const Tolerance& tolerance) {
  constexpr double kComeBack = 0.95;
  const double offset = std::hypot(reading.offset_x_mm, reading.offset_y_mm);
  const double rotation = std::abs(reading.rotation_deg);
  slide_ = offset <= tolerance.offset_mm * (slide_ ? 1.0 : kComeBack);
  turn_ = rotation <= tolerance.rotation_deg * (turn_ ? 1.0 : kComeBack);
}

double SteadyNumber::show(double value) {
  const double coarse_step = std::pow(10.0, -coarse_), fine_step = std::pow(10.0, -fine_);
  // To coarse steps where the fine ones would show the limit; back with room to spare.
  const double limit = decimals_ == fine_ ? fine_below_ - 0.5 * fine_step : fine_below_ - 0.3 * coarse_step;
  const int decimals = std::abs(value) >= limit ? coarse_ : fine_;
  const double step = std::pow(10.0, -decimals);
  if (shown_before_ && decimals == decimals_ && std::abs(value - shown_) <= 0.75 * step) return shown_;
  shown_before_ = true;
  decimals_ = decimals;
  // Divided, not multiplied by the step, so that 3.2 is the double nearest to 3.2.
  const double per_unit = std::pow(10.0, decimals);
  shown_ = std::round(value * per_unit) / per_unit;
  if (shown_ == 0.0) shown_ = 0.0;  // no minus zero
  return shown_;
}

Instruction slide_right_instruction(double shown_right, int decimals, Units units) {
  return slide(shown_right, decimals, units, kRight, kLeft, noop("no need to slide right or left"));
}

Instruction slide_away_instruction(double shown_away, int decimals, Units units) {
  return slide(shown_away, decimals, units, kAway, kToward, noop("no need to slide away from you or toward you"));
}

Instruction turn_instruction(double shown_turn_ccw_deg, int decimals) {
  Instruction i;
  i.shown = shown_turn_ccw_deg;
  i.digits = number(std::abs(shown_turn_ccw_deg), decimals);
  i.unit = "°";
  if (shown_turn_ccw_deg == 0.0) {
    i.caption = tr("Straight");
    i.sentence = tr("no need to turn the cloth");
    return i;
  }
  const bool ccw = shown_turn_ccw_deg > 0.0;
  i.caption = ccw ? tr("Turn counter-clockwise") : tr("Turn clockwise");
  i.sentence =
      format(ccw ? tr("turn the cloth %s° counter-clockwise") : tr("turn the cloth %s° clockwise"), i.digits.c_str());
  return i;
}

}  // namespace app
