#include "app/views/work_facts.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "app/format.h"
#include "app/screen/symbols.h"
#include "app/screen/text_block.h"
#include "app/units.h"
#include "app/views/work_fit.h"
#include "app/words/words.h"
#include "app/work/sticker_words.h"

namespace app {
namespace {

constexpr double kText_mm = 2.2;
constexpr std::array kSteps{noop("Set hoop"), noop("Lay cloth"), noop("Press"), noop("Enter"), noop("Lift")};
static_assert(kSteps.size() == kPhaseCount);

// Two figures are enough for an uncertainty; it is never rounded to nothing.
std::string plus_minus(double u, double least) { return number(std::max(u, least), u < 0.995 ? 2 : 1); }

std::string sure_line(const vision::Reading& reading, Units units) {
  const std::string turn = plus_minus(reading.u_rotation_deg, 0.005);
  if (units == Units::inch)
    return format(tr("Sure to ±%s in, ±%s°"), number(std::max(in_units(reading.u_offset_mm, units), 0.0005), 3).c_str(),
                  turn.c_str());
  return format(tr("Sure to ±%s mm, ±%s°"), plus_minus(reading.u_offset_mm, 0.005).c_str(), turn.c_str());
}

// A bar that is full at twice the tolerance, with a gate at the tolerance.
void draw_gauge(Canvas& canvas, const Scale& scale, const SDL_FRect& bar, double share_of_tolerance, bool within) {
  canvas.rect(bar, theme::kRule);
  const Colour colour = within ? theme::kWithin : theme::kMove;
  const auto share = static_cast<float>(std::clamp(share_of_tolerance / 2.0, 0.0, 1.0));
  canvas.rect({bar.x, bar.y, share * bar.w, bar.h}, colour);
  const float gate = bar.x + bar.w / 2.0F, line = scale.mm(0.5), over = scale.mm(0.7);
  canvas.rect({gate - line / 2.0F, bar.y - over, line, bar.h + 2.0F * over}, theme::kText);
}

// Writes lines from the top of an area, each made smaller where it is too wide.
class Lines {
 public:
  Lines(Text& text, const Scale& scale, const SDL_FRect& area) : text_(text), scale_(scale), area_(area), y_(area.y) {}
  bool room() const { return y_ + scale_.mm(kText_mm) <= area_.y + area_.h; }
  // In two lines where one is too narrow.
  void write(const std::string& line, Colour colour) {
    if (!room()) return;
    const TextStyle style{Weight::regular, scale_.text_mm(kText_mm)};
    const bool one = text_.width(style, line) * 0.8F <= area_.w;
    const float bottom =
        draw_block(text_, one ? text_.fitted(style, line, area_.w) : style,
                   {area_.x, y_, area_.w,
                    std::min((one ? 1.4F : 3.2F) * static_cast<float>(style.height_px), area_.y + area_.h - y_)},
                   line, colour);
    y_ = bottom + scale_.mm(1.0);
  }
  // A name, what is and what may be, and the bar under it.
  void gauge(Canvas& canvas, const std::string& name, const std::string& value, double share, bool within) {
    const TextStyle style{Weight::regular, scale_.text_mm(kText_mm)};
    const float base = y_ + scale_.mm(kText_mm);
    const float sign = scale_.mm(1.2);
    float left = area_.x;
    if (within) {
      draw_tick(canvas, {left + sign, base - 0.5F * scale_.mm(kText_mm)}, sign, theme::kWithin, theme::kPanel);
      left += 2.0F * sign + scale_.mm(0.8);
    }
    const float used =
        text_.draw_right(text_.fitted(style, value, 0.68F * area_.w), {area_.x + area_.w, base}, value, theme::kText);
    text_.draw(text_.fitted(style, name, area_.x + area_.w - used - scale_.mm(1.0) - left), {left, base}, name,
               theme::kTextQuiet);
    draw_gauge(canvas, scale_, {area_.x, base + scale_.mm(1.6), area_.w, scale_.mm(1.8)}, share, within);
    y_ = base + scale_.mm(5.7);
  }

 private:
  Text& text_;
  const Scale& scale_;
  SDL_FRect area_;
  float y_;
};

}  // namespace

void draw_facts(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& area, const Desk& desk,
                const ShownReading* shown, const WithinTolerance& within) {
  canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
  const float pad = scale.mm(2.2);
  const Work& work = desk.work();
  const Units units = desk.settings().units;
  const Tolerance tolerance = work.tolerance();
  Lines lines(text, scale, {area.x + pad, area.y + pad, area.w - 2.0F * pad, area.h - 2.0F * pad});
  if (shown != nullptr) {
    const vision::Reading& r = shown->reading;
    const double off_mm = std::hypot(r.offset_x_mm, r.offset_y_mm), turn_deg = std::abs(r.rotation_deg);
    lines.gauge(canvas, tr("Place"),
                format(tr("%s of %s"), length_number(off_mm, LengthKind::guide, units).c_str(),
                       length_text(tolerance.offset_mm, LengthKind::guide, units).c_str()),
                off_mm / tolerance.offset_mm, within.slide());
    lines.gauge(canvas, tr("Turn"),
                format(tr("%s of %s"), number(turn_deg, 1).c_str(), (number(tolerance.rotation_deg, 1) + "°").c_str()),
                turn_deg / tolerance.rotation_deg, within.turn());
    for (const FitLine& line : fit_lines(desk.answer(), units))
      lines.write(line.words, line.bad ? theme::kTrouble : theme::kText);
    if (shown->kind == ShownReading::Kind::guide) {
      lines.write(tr("A guide, no reading yet"), theme::kText);
    } else {
      lines.write(sure_line(r, units), theme::kText);
    }
    if (const int n = work.cycle().held_readings(); shown->kind == ShownReading::Kind::held)
      lines.write(format(tr("%d reading averaged", "%d readings averaged", n), n), theme::kText);
    if (const auto stretch = stretch_words(work, units); stretch && !stretch->bad)
      lines.write(stretch->text, theme::kText);
  } else {
    lines.write(format(tr("Tolerance %s, %s°"), length_text(tolerance.offset_mm, LengthKind::guide, units).c_str(),
                       number(tolerance.rotation_deg, 1).c_str()),
                theme::kText);
  }
  lines.write(format(tr("Hoop %s"), work.hoop().name.c_str()), theme::kTextQuiet);
  if (!desk.health.stale && work.seen()) {
    lines.write(format(tr("%d of %d board marks"), static_cast<int>(work.seen()->board_marks.size()),
                       static_cast<int>(work.station().board_marks.size())),
                theme::kTextQuiet);
    lines.write(format(tr("%d of 4 notches"), work.seen()->notches_seen), theme::kTextQuiet);
  }
  lines.write(tr(desk.health.source), theme::kTextQuiet);
}

void draw_steps(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& area, Phase phase) {
  const float step = area.w / static_cast<float>(kSteps.size());
  const TextStyle plain{Weight::regular, scale.text_mm(2.1)}, bold{Weight::bold, scale.text_mm(2.1)};
  const float line = scale.mm(0.9), gap = scale.mm(1.0);
  for (std::size_t i = 0; i < kSteps.size(); ++i) {
    const bool now = static_cast<std::size_t>(phase) == i;
    const bool done = static_cast<std::size_t>(phase) > i;
    const SDL_FRect bar{area.x + static_cast<float>(i) * step, area.y + area.h - line, step - gap, line};
    if (now) {
      canvas.rect(bar, theme::kText);
    } else {
      canvas.rect({bar.x, bar.y + line / 4.0F, bar.w, line / 2.0F}, done ? theme::kTextQuiet : theme::kRule);
    }
    const std::string word = tr(kSteps[i]);
    const TextStyle style = text.fitted(now ? bold : plain, word, bar.w);
    text.draw(style, {bar.x, bar.y - scale.mm(0.9)}, word, now ? theme::kText : theme::kTextQuiet);
  }
}

}  // namespace app
