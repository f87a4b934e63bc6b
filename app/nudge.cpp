#include "app/nudge.h"

#include <cmath>
#include <cstdio>

namespace app {
namespace {

std::string digits(double value, int decimals) {
  char text[32];
  std::snprintf(text, sizeof text, "%.*f", decimals, std::abs(value));
  return text;
}

Instruction slide(double shown, int decimals, const char* positive, const char* negative) {
  Instruction i;
  i.shown = shown;
  i.digits = digits(shown, decimals);
  i.unit = "mm";
  if (shown == 0.0) {
    i.caption = "On the line";
    i.sentence = std::string("no need to slide ") + positive + " or " + negative;
    return i;
  }
  const std::string way = shown > 0.0 ? positive : negative;
  i.caption = "Slide " + way;
  i.sentence = "slide " + i.digits + " mm " + way;
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
  const double size = std::abs(value);
  const bool whole = size >= (step_ < 1.0 ? 9.95 : 9.7);
  const double step = whole ? 1.0 : 0.1;
  if (shown_before_ && step == step_ && std::abs(value - shown_) <= 0.75 * step) return shown_;
  shown_before_ = true;
  step_ = step;
  // Tenths are divided, not multiplied, so that 3.2 is the double nearest to 3.2.
  shown_ = whole ? std::round(value) : std::round(value * 10.0) / 10.0;
  if (shown_ == 0.0) shown_ = 0.0;  // no minus zero
  return shown_;
}

Instruction slide_right_instruction(double shown_right_mm, int decimals) {
  return slide(shown_right_mm, decimals, "right", "left");
}

Instruction slide_away_instruction(double shown_away_mm, int decimals) {
  return slide(shown_away_mm, decimals, "away from you", "toward you");
}

Instruction turn_instruction(double shown_turn_ccw_deg, int decimals) {
  Instruction i;
  i.shown = shown_turn_ccw_deg;
  i.digits = digits(shown_turn_ccw_deg, decimals);
  i.unit = "°";
  if (shown_turn_ccw_deg == 0.0) {
    i.caption = "Straight";
    i.sentence = "no need to turn the cloth";
    return i;
  }
  const std::string way = shown_turn_ccw_deg > 0.0 ? "counter-clockwise" : "clockwise";
  i.caption = "Turn " + way;
  i.sentence = "turn the cloth " + i.digits + "° " + way;
  return i;
}

}  // namespace app
