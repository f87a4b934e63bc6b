#include "app/views/work_readout.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "app/screen/symbols.h"
#include "app/screen/text_block.h"
#include "app/units.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr double kPad_mm = 2.5;
constexpr double kSign_mm = 6.2;      // radius
constexpr double kBesideSign_mm = 5;  // radius, where words stand under it
constexpr double kCaption_mm = 3.5;
constexpr double kUnit_mm = 4.6;
constexpr double kBelowDigits_mm = 2.2;
constexpr double kOverDigits_mm = 2.2;  // to the words

// Where the pieces of a row stand.
struct Row {
  Text& text;
  const Scale& scale;
  SDL_FRect area;
  bool beside;  // the words stand beside the digits, under the sign; else over both

  float left() const { return area.x + scale.mm(kPad_mm); }
  float right() const { return area.x + area.w - scale.mm(kPad_mm); }
  float baseline() const {
    return beside ? area.y + (area.h + scale.mm(kLargeDigits_mm)) / 2.0F : area.y + area.h - scale.mm(kBelowDigits_mm);
  }
  float sign_radius() const { return scale.mm(beside ? kBesideSign_mm : kSign_mm); }
  SDL_FPoint sign() const {
    const float y = beside ? area.y + scale.mm(1.8) + sign_radius() : baseline() - scale.mm(kLargeDigits_mm / 2.0);
    return {left() + sign_radius(), y};
  }
  // Where the digits may begin.
  float digits_from() const { return beside ? left() + scale.mm(26.0) : sign().x + sign_radius() + scale.mm(1.0); }
};

// How a value is shown that does not change any more: in full as far as there is room.
struct Fixed {
  double shown;
  int decimals;
};

Fixed fixed(double value, int decimals, double whole_from) {
  if (std::abs(value) >= whole_from) decimals = 0;
  const double per_unit = std::pow(10.0, decimals);
  double shown = std::round(value * per_unit) / per_unit;
  if (shown == 0.0) shown = 0.0;  // no minus zero
  return {shown, decimals};
}

Instruction held_row(Fixed value, std::string unit, const char* positive, const char* negative, const char* nothing) {
  Instruction i;
  i.shown = value.shown;
  i.digits = number(std::abs(value.shown), value.decimals);
  i.unit = std::move(unit);
  i.caption = tr(value.shown > 0.0 ? positive : value.shown < 0.0 ? negative : nothing);
  i.sentence = i.caption + ": " + i.digits + " " + i.unit;
  return i;
}

void draw_degree(Canvas& canvas, const Scale& scale, SDL_FPoint top_left) {
  const float r = scale.mm(2.1);
  canvas.circle({top_left.x + r, top_left.y + r}, r, scale.mm(1.1), theme::kTextQuiet);
}

// A decimal comma reaches far below the line in such large digits, into what stands under them: it is raised.
void draw_number(Text& text, const Scale& scale, const TextStyle& style, SDL_FPoint right_end,
                 const std::string& digits) {
  const std::size_t comma = digits.find(',');
  const float left = right_end.x - text.width(style, digits);
  if (comma == std::string::npos) {
    text.draw(style, {left, right_end.y}, digits, theme::kText);
    return;
  }
  const float share = static_cast<float>(style.height_px) / scale.mm(kLargeDigits_mm);
  const SDL_FPoint raised{left + text.width(style, digits.substr(0, comma)), right_end.y - share * scale.mm(3.2)};
  text.draw(style, {left, right_end.y}, digits.substr(0, comma), theme::kText);
  text.draw(style, raised, ",", theme::kText);
  const std::string after = digits.substr(comma + 1);
  text.draw_right(style, right_end, after, theme::kText);
}

// Digits at the right, their unit after them where there is room, else above.
void draw_digits(Canvas& canvas, const Row& row, const Instruction& i) {
  Text& text = row.text;
  const Scale& scale = row.scale;
  const TextStyle large{Weight::regular, scale.text_mm(kLargeDigits_mm)};
  const TextStyle unit{Weight::regular, scale.text_mm(kUnit_mm)};
  const bool degrees = i.unit == "°";
  const float column = degrees ? scale.mm(6.5) : text.width(unit, i.unit) + scale.mm(1.4);
  const float whole = row.right() - row.digits_from();
  const bool after = text.width(large, i.digits) + column <= whole;
  const TextStyle digits = after ? large : text.fitted(large, i.digits, whole);
  const float right = after ? row.right() - column : row.right();
  draw_number(text, scale, digits, {right, row.baseline()}, i.digits);
  const float top = row.baseline() - scale.mm(kLargeDigits_mm);
  if (after && degrees) return draw_degree(canvas, scale, {right + scale.mm(1.6), top});
  if (after) {
    text.draw_right(unit, {row.right(), row.baseline()}, i.unit, theme::kTextQuiet);
  } else if (!row.beside) {
    text.draw_right({Weight::regular, scale.text_mm(kCaption_mm)}, {row.right(), top - scale.mm(kOverDigits_mm)},
                    i.unit, theme::kTextQuiet);
  }
}

// The words over or beside the digits; `tick`: it is within tolerance, and the row's sign does not say so.
void draw_caption(Canvas& canvas, const Row& row, const std::string& caption, Colour colour, bool tick) {
  const Scale& scale = row.scale;
  const float sign = scale.mm(2.0);
  if (row.beside) {
    const float top = row.sign().y + row.sign_radius() + scale.mm(1.6);
    draw_block(row.text, {Weight::bold, scale.text_mm(3.2)},
               {row.left(), top, row.digits_from() - row.left(), row.area.y + row.area.h - scale.mm(0.6) - top},
               caption, colour);
    if (tick)
      draw_tick(canvas, {row.sign().x + row.sign_radius() + 1.8F * sign, row.sign().y}, sign, theme::kWithin,
                theme::kPanel);
    return;
  }
  const float room = row.right() - row.left() - scale.mm(8.0);
  const float base = row.baseline() - scale.mm(kLargeDigits_mm + kOverDigits_mm);
  const TextStyle style = row.text.fitted({Weight::bold, scale.text_mm(kCaption_mm)}, caption, room);
  const float used = row.text.draw(style, {row.left(), base}, caption, colour);
  if (tick)
    draw_tick(canvas, {row.left() + used + 1.8F * sign, base - scale.mm(0.5 * kCaption_mm)}, sign, theme::kWithin,
              theme::kPanel);
}

}  // namespace

void draw_place_sign(Canvas& canvas, SDL_FPoint centre, float radius, float dx, float dy, Colour line, Colour dot) {
  const float width = 0.14F * radius;
  canvas.line({centre.x - radius, centre.y}, {centre.x + radius, centre.y}, width, line);
  canvas.line({centre.x, centre.y - radius}, {centre.x, centre.y + radius}, width, line);
  canvas.disc({centre.x + 0.62F * radius * dx, centre.y + 0.62F * radius * dy}, 0.34F * radius, dot);
}

void draw_lean_sign(Canvas& canvas, SDL_FPoint centre, float radius, bool counter_clockwise, Colour line,
                    Colour leaning) {
  const SDL_FPoint foot{centre.x, centre.y + radius};
  canvas.line(foot, {centre.x, centre.y - radius}, 0.14F * radius, line);
  const float side = counter_clockwise ? -0.75F : 0.75F;
  canvas.arrow(foot, {centre.x + side * radius, centre.y - 0.75F * radius}, 0.26F * radius, 0.7F * radius, leaning);
}

void WorkReadout::forget() {
  right_.forget();
  away_.forget();
  turn_.forget();
  within_.forget();
}

void WorkReadout::update(const ShownReading& shown, const Tolerance& tolerance, Units units) {
  const bool held = shown.kind == ShownReading::Kind::held;
  if (units != units_ || held != held_) {
    right_ = away_ = units == Units::inch ? SteadyNumber(2, 10.0, 1) : SteadyNumber();
    turn_.forget();
  }
  units_ = units;
  held_ = held;
  nudge_ = nudge(shown.reading, shown.board_from_hoop);
  within_.update(shown.reading, tolerance);
  if (held) {
    hold(shown.reading, units);
  } else {
    guide(shown, units);
  }
}

void WorkReadout::guide(const ShownReading&, Units units) {
  const double right = right_.show(in_units(nudge_.right_mm, units));
  const double away = away_.show(in_units(nudge_.away_mm, units));
  const double turn = turn_.show(nudge_.turn_ccw_deg);
  rows_ = {slide_right_instruction(right, right_.decimals(), units),
           slide_away_instruction(away, away_.decimals(), units), turn_instruction(turn, turn_.decimals())};
}

// In the hoop's frame, as the machine will see it.
void WorkReadout::hold(const vision::Reading& reading, Units units) {
  const int decimals = units == Units::inch ? 2 : 1;
  const double whole_from = units == Units::inch ? 9.995 : 99.95;
  const std::string unit = unit_word(units);
  rows_ = {held_row(fixed(in_units(reading.offset_x_mm, units), decimals, whole_from), unit,
                    noop("Right of the centre"), noop("Left of the centre"), noop("On the centre line")),
           held_row(fixed(in_units(reading.offset_y_mm, units), decimals, whole_from), unit, noop("Above the centre"),
                    noop("Below the centre"), noop("On the centre line")),
           held_row(fixed(reading.rotation_deg, 1, 99.95), "°", noop("Turned counter-clockwise"),
                    noop("Turned clockwise"), noop("Straight"))};
}

void WorkReadout::draw_row_sign(Canvas& canvas, std::size_t row, SDL_FPoint centre, float radius) const {
  const double shown = rows_[row].shown;
  const bool within = row < 2 ? within_.slide() : within_.turn();
  const float sense = shown > 0.0 ? 1.0F : -1.0F;
  if (held_) {
    const Colour colour = within ? theme::kWithin : theme::kMove;
    const float off = shown == 0.0 ? 0.0F : sense;
    if (row == 2 && shown != 0.0)
      return draw_lean_sign(canvas, centre, radius, sense > 0.0F, theme::kTextQuiet, colour);
    return draw_place_sign(canvas, centre, radius, row == 0 ? off : 0.0F, row == 1 ? -off : 0.0F, theme::kTextQuiet,
                           colour);
  }
  if (within || shown == 0.0) return draw_tick(canvas, centre, radius, theme::kWithin, theme::kPanel);
  if (row == 2) return draw_turn_sign(canvas, centre, radius, sense > 0.0F, theme::kMove);
  draw_slide_sign(canvas, centre, radius, row == 0 ? sense : 0.0F, row == 1 ? -sense : 0.0F, theme::kMove);
}

void WorkReadout::draw_sign(Canvas& canvas, SDL_FPoint centre, float radius) const {
  if (within_.both()) return draw_tick(canvas, centre, radius, theme::kWithin, theme::kPanel);
  if (within_.slide()) return draw_turn_sign(canvas, centre, radius, nudge_.turn_ccw_deg > 0.0, theme::kMove);
  const double length = std::max(1e-9, std::hypot(nudge_.right_mm, nudge_.away_mm));
  draw_slide_sign(canvas, centre, radius, static_cast<float>(nudge_.right_mm / length),
                  static_cast<float>(-nudge_.away_mm / length), theme::kMove);
}

void WorkReadout::draw_rows(Canvas& canvas, Text& text, const WorkLayout& layout) const {
  const Scale& scale = layout.scale;
  const SDL_FRect& panel = layout.readout;
  if (held_) {
    // A frame of its own tells what is held from what still follows the cloth.
    canvas.rounded_rect(panel, scale.mm(1.2), theme::kText);
    const float line = scale.mm(0.7);
    canvas.rounded_rect({panel.x + line, panel.y + line, panel.w - 2.0F * line, panel.h - 2.0F * line}, scale.mm(0.8),
                        theme::kPanel);
  } else {
    canvas.rounded_rect(panel, scale.mm(1.2), theme::kPanel);
  }
  for (std::size_t i = 0; i < layout.rows.size(); ++i) {
    const SDL_FRect& r = layout.rows[i];
    if (i > 0)
      canvas.rect({r.x + scale.mm(kPad_mm), r.y, r.w - 2.0F * scale.mm(kPad_mm), std::max(1.0F, scale.mm(0.2))},
                  theme::kRule);
    const Row row{text, scale, r, !layout.landscape};
    const bool within = i < 2 ? within_.slide() : within_.turn();
    draw_caption(canvas, row, rows_[i].caption, within ? theme::kWithin : theme::kMove, held_ && within);
    draw_row_sign(canvas, i, row.sign(), row.sign_radius());
    draw_digits(canvas, row, rows_[i]);
  }
}

}  // namespace app
