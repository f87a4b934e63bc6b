#include "app/screen/readout.h"

#include <algorithm>
#include <cmath>

#include "app/screen/symbols.h"

namespace app {
namespace {

constexpr double kPad_mm = 3.2;
constexpr double kSign_mm = 6.3;  // radius

// Caption over sign, digits and unit.
struct Row {
  Canvas& canvas;
  Text& text;
  const Scale& scale;
  SDL_FRect area;
  bool within;

  SDL_FPoint sign_centre() const {
    return {area.x + scale.mm(kPad_mm + kSign_mm + 0.4), digits_baseline() - scale.mm(kLargeDigits_mm / 2.0)};
  }
  float digits_baseline() const { return area.y + area.h - scale.mm(3.4); }
  Colour colour() const { return within ? theme::kWithin : theme::kMove; }

  void draw(const Instruction& i) const {
    const float left = area.x + scale.mm(kPad_mm);
    const float width = area.w - 2.0F * scale.mm(kPad_mm);
    const TextStyle caption = text.fitted({Weight::bold, scale.text_mm(3.9)}, i.caption, width);
    const float caption_base = digits_baseline() - scale.mm(kLargeDigits_mm + 3.2);
    text.draw(caption, {left, caption_base}, i.caption, colour());

    const float unit_column = scale.mm(i.unit == "mm" ? 12.0 : 8.0);
    const float right = area.x + area.w - scale.mm(kPad_mm) - unit_column;
    // Three digits, far off, are drawn a little smaller, beside the sign.
    const float room = right - sign_centre().x - scale.mm(kSign_mm + 1.5);
    const TextStyle digits = text.fitted({Weight::regular, scale.text_mm(kLargeDigits_mm)}, i.digits, room);
    text.draw_right(digits, {right, digits_baseline()}, i.digits, theme::kText);
    if (i.unit == "mm") {
      text.draw({Weight::regular, scale.text_mm(4.6)}, {right + scale.mm(1.4), digits_baseline()}, i.unit,
                theme::kTextQuiet);
    } else {
      const float r = scale.mm(2.1);
      canvas.circle({right + scale.mm(1.6) + r, digits_baseline() - scale.mm(kLargeDigits_mm) + r}, r, scale.mm(1.1),
                    theme::kTextQuiet);
    }
  }
  void draw_tick() const { app::draw_tick(canvas, sign_centre(), scale.mm(kSign_mm), theme::kWithin, theme::kPanel); }
};

}  // namespace

void Readout::forget() {
  right_.forget();
  away_.forget();
  turn_.forget();
  within_.forget();
}

void Readout::update(const vision::Reading& reading, const vision::Pose2& board_from_hoop, const Tolerance& tolerance) {
  nudge_ = nudge(reading, board_from_hoop);
  const double right = right_.show(nudge_.right_mm);
  const double away = away_.show(nudge_.away_mm);
  const double turn = turn_.show(nudge_.turn_ccw_deg);
  slide_right_ = slide_right_instruction(right, right_.decimals());
  slide_away_ = slide_away_instruction(away, away_.decimals());
  turn_cloth_ = turn_instruction(turn, turn_.decimals());
  within_.update(reading, tolerance);
}

std::string Readout::verdict() const {
  if (within_.both()) return "Within tolerance";
  if (within_.turn()) return "Slide the cloth";
  return within_.slide() ? "Turn the cloth" : "Slide and turn";
}

void Readout::draw_verdict_sign(Canvas& canvas, SDL_FPoint centre, float radius) const {
  if (within_.both()) return draw_tick(canvas, centre, radius, theme::kWithin, theme::kPanel);
  if (within_.slide()) return draw_turn_sign(canvas, centre, radius, nudge_.turn_ccw_deg > 0.0, theme::kMove);
  const double length = std::hypot(nudge_.right_mm, nudge_.away_mm);
  draw_slide_sign(canvas, centre, radius, static_cast<float>(nudge_.right_mm / length),
                  static_cast<float>(-nudge_.away_mm / length), theme::kMove);
}

void Readout::draw_rows(Canvas& canvas, Text& text, const MeasureLayout& layout) {
  const Scale& scale = layout.scale;
  canvas.rounded_rect(layout.readout, scale.mm(1.2), theme::kPanel);
  for (std::size_t i = 1; i < layout.rows.size(); ++i) {
    const SDL_FRect& r = layout.rows[i];
    canvas.rect({r.x + scale.mm(kPad_mm), r.y, r.w - 2.0F * scale.mm(kPad_mm), std::max(1.0F, scale.mm(0.2))},
                theme::kRule);
  }
  const float radius = scale.mm(kSign_mm);
  const auto row = [&](std::size_t i, bool within) { return Row{canvas, text, scale, layout.rows[i], within}; };

  const Row first = row(0, within_.slide());
  first.draw(slide_right_);
  const Row second = row(1, within_.slide());
  second.draw(slide_away_);
  const Row third = row(2, within_.turn());
  third.draw(turn_cloth_);
  const auto slide_sign = [&](const Row& r, double shown, float dx, float dy) {
    if (r.within || shown == 0.0) return r.draw_tick();
    const float sense = shown > 0.0 ? 1.0F : -1.0F;
    draw_slide_sign(canvas, r.sign_centre(), radius, sense * dx, sense * dy, theme::kMove);
  };
  slide_sign(first, slide_right_.shown, 1.0F, 0.0F);
  slide_sign(second, slide_away_.shown, 0.0F, -1.0F);
  if (third.within || turn_cloth_.shown == 0.0) {
    third.draw_tick();
  } else {
    draw_turn_sign(canvas, third.sign_centre(), radius, turn_cloth_.shown > 0.0, theme::kMove);
  }
}

void Readout::draw_reason(Canvas& canvas, Text& text, const MeasureLayout& layout, vision::Status status,
                          std::string_view headline, std::string_view sentence) const {
  const Scale& scale = layout.scale;
  const SDL_FRect& area = layout.readout;
  canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
  const float pad = scale.mm(5.0);
  const float radius = std::min(scale.mm(17.0), 0.2F * area.h);
  app::draw_reason(canvas, {area.x + pad + radius, area.y + pad + radius}, radius, status, theme::kTextQuiet,
                   theme::kTrouble);
  const float width = area.w - 2.0F * pad;
  const TextStyle large = text.fitted({Weight::bold, scale.text_mm(8.0)}, headline, width);
  float y = area.y + 2.0F * pad + 2.0F * radius + scale.mm(9.0);
  text.draw(large, {area.x + pad, y}, headline, theme::kTrouble);
  const TextStyle body{Weight::regular, scale.text_mm(5.0)};
  y += scale.mm(6.5);
  for (std::string_view line : text.wrap(body, sentence, width)) {
    y += Text::line_pitch(body);
    text.draw(body, {area.x + pad, y - scale.mm(2.0)}, line, theme::kText);
  }
}

}  // namespace app
