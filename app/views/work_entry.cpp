#include "app/views/work_entry.h"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "app/jobs/preparation.h"
#include "app/machine/entry_words.h"
#include "app/screen/symbols.h"
#include "app/screen/text_block.h"
#include "app/units.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr double kPad_mm = 2.5;
constexpr double kCaption_mm = 3.4;
constexpr double kKeys_mm = 4.0;
constexpr double kUnit_mm = 3.6;
constexpr double kUnitRoom_mm = 9.5;
constexpr double kSmall_mm = 2.4;
constexpr double kMostDigits_mm = 16.0;
// Shares of the panel's height; what they leave is for the rest.
constexpr float kRotationShare = 0.27F;
constexpr float kJogShare = 0.19F;

void draw_panel(Canvas& canvas, const Scale& scale, const SDL_FRect& panel, Colour edge) {
  canvas.rounded_rect(panel, scale.mm(1.2), edge);
  const float line = scale.mm(0.7);
  canvas.rounded_rect({panel.x + line, panel.y + line, panel.w - 2.0F * line, panel.h - 2.0F * line}, scale.mm(0.8),
                      theme::kPanel);
}

struct Row {
  SDL_FRect area{};
  std::string caption, detail, digits, unit;
};

// Draws the rows; all have the same pads and digits.
class Rows {
 public:
  Rows(Canvas& canvas, Text& text, const Scale& scale, float digits_px)
      : canvas_(canvas), text_(text), scale_(scale), digits_px_(digits_px) {}

  // Digits at the right of `area`, their caption and detail at its left; gives where those begin.
  void draw(const Row& row, Colour colour, float left) {
    const float right = row.area.x + row.area.w - scale_.mm(kPad_mm);
    const float unit_room = scale_.mm(kUnitRoom_mm);
    const float base = row.area.y + (row.area.h + digits_px_) / 2.0F;
    TextStyle large{Weight::regular, static_cast<int>(digits_px_)};
    const float whole = right - unit_room - left;
    large = text_.fitted(large, row.digits, 0.62F * whole);
    const float used = text_.draw_right(large, {right - unit_room, base}, row.digits, theme::kText);
    draw_unit(row.unit, {right - unit_room + scale_.mm(1.2), base});
    words(row, colour, left, right - unit_room - used - scale_.mm(1.5) - left);
  }

 private:
  void draw_unit(const std::string& unit, SDL_FPoint at) {
    if (unit != "°") {
      text_.draw({Weight::regular, scale_.text_mm(kUnit_mm)}, at, unit, theme::kTextQuiet);
      return;
    }
    const float r = scale_.mm(1.5);
    canvas_.circle({at.x + r, at.y - digits_px_ + r}, r, scale_.mm(0.8), theme::kTextQuiet);
  }

  void words(const Row& row, Colour colour, float left, float width) {
    const TextStyle bold{Weight::bold, scale_.text_mm(kCaption_mm)};
    const auto lines = static_cast<float>(text_.wrap(bold, row.caption, width).size());
    const float caption = lines * Text::line_pitch(bold);
    const float detail = row.detail.empty() ? 0.0F : 1.4F * scale_.mm(kKeys_mm);
    const float height = std::min(row.area.h, caption + detail);
    const float top = row.area.y + (row.area.h - height) / 2.0F;
    const float bottom =
        draw_block(text_, bold, {left, top, width, std::max(1.0F, row.area.h - detail)}, row.caption, colour);
    if (row.detail.empty()) return;
    const TextStyle style = text_.fitted({Weight::regular, scale_.text_mm(kKeys_mm)}, row.detail, width);
    text_.draw(style, {left, bottom + scale_.mm(1.2) + static_cast<float>(style.height_px)}, row.detail, theme::kText);
  }

  Canvas& canvas_;
  Text& text_;
  const Scale& scale_;
  float digits_px_;
};

// What is entered, and in which colour: a value of 0 asks for nothing.
Colour colour_of(bool nothing) { return nothing ? theme::kTextQuiet : theme::kText; }

class EntryPanel {
 public:
  EntryPanel(Canvas& canvas, Text& text, const WorkLayout& layout, const Desk& desk)
      : canvas_(canvas),
        text_(text),
        scale_(layout.scale),
        machine_(*desk.machine()),
        entry_(*desk.entry()),
        desk_(desk),
        at_(entry_layout(layout, machine_.order == Machine::Order::jog_first)),
        rows_(canvas, text, layout.scale, at_.digits_px) {}

  void draw(const SDL_FRect& panel) {
    draw_panel(canvas_, scale_, panel, troubles().empty() ? theme::kText : theme::kTrouble);
    draw_rotation();
    draw_jog(0, entry_.jog_right_presses, entry_.jog_right_mm);
    draw_jog(1, entry_.jog_up_presses, entry_.jog_up_mm);
    draw_rest();
  }

 private:
  Units units() const { return desk_.settings().units; }
  std::vector<std::string> troubles() const {
    std::vector<std::string> all = entry_troubles(machine_, entry_, units());
    if (desk_.answer() && !desk_.answer()->fit.fits)
      all.emplace_back(tr("With these numbers the design does not fit the field. Do not stitch it so."));
    return all;
  }
  float sign_radius() const { return scale_.mm(4.6); }
  float words_left(const SDL_FRect& area) const {
    return area.x + scale_.mm(kPad_mm) + 2.0F * sign_radius() + scale_.mm(2.0);
  }
  void rule_under(const SDL_FRect& area) {
    canvas_.rect({area.x + scale_.mm(kPad_mm), area.y + area.h, area.w - 2.0F * scale_.mm(kPad_mm),
                  std::max(1.0F, scale_.mm(0.2))},
                 theme::kRule);
  }

  void draw_rotation() {
    const SDL_FRect& area = at_.rotation;
    rule_under(area);
    const std::string keys = keys_text(machine_, entry_);
    const bool turns = machine_.rotation_step_deg != 0.0;
    Row row{area, tr("Rotation"), "", rotation_number(machine_, entry_.rotation), "°"};
    const float below = keys.empty() ? 0.0F : scale_.mm(kKeys_mm + 3.2);
    row.area.h -= below;
    if (entry_.rotation == 0.0) row.caption = tr("No rotation");
    if (turns && machine_.turn_keys_deg.empty() && entry_.rotation != 0.0) row.detail = tr("type it in");
    const bool ccw = machine_.sense == Machine::Sense::counter_clockwise;
    const Colour colour = colour_of(entry_.rotation == 0.0);
    const SDL_FPoint sign{area.x + scale_.mm(kPad_mm) + sign_radius(), row.area.y + row.area.h / 2.0F};
    if (entry_.rotation == 0.0) {
      draw_tick(canvas_, sign, 0.7F * sign_radius(), theme::kWithin, theme::kPanel);
    } else {
      draw_turn_sign(canvas_, sign, sign_radius(), ccw, colour);
    }
    rows_.draw(row, colour, words_left(area));
    if (keys.empty()) return;
    const float left = area.x + scale_.mm(kPad_mm), width = area.w - 2.0F * scale_.mm(kPad_mm);
    const TextStyle style = text_.fitted({Weight::bold, scale_.text_mm(kKeys_mm)}, keys, width);
    text_.draw(style, {left, area.y + area.h - scale_.mm(2.0)}, keys, theme::kText);
  }

  void draw_jog(std::size_t index, int presses, double mm) {
    const SDL_FRect& area = at_.jog[index];
    rule_under(area);
    const bool sideways = index == 0;
    const Colour colour = colour_of(presses == 0);
    const SDL_FPoint centre{area.x + scale_.mm(kPad_mm) + sign_radius(), area.y + area.h / 2.0F};
    if (presses == 0) {
      draw_tick(canvas_, centre, 0.7F * sign_radius(), theme::kWithin, theme::kPanel);
    } else {
      const float sense = presses > 0 ? 1.0F : -1.0F;
      draw_slide_sign(canvas_, centre, sign_radius(), sideways ? sense : 0.0F, sideways ? 0.0F : -sense, theme::kText);
    }
    const Row row{area, sideways ? sideways_caption(machine_, presses) : upward_caption(machine_, presses),
                  presses_text(presses), jog_number(machine_, std::abs(mm), units()), unit_word(units())};
    rows_.draw(row, colour, words_left(area));
  }

  void draw_rest() {
    const float pad = scale_.mm(kPad_mm);
    SDL_FRect area{at_.rest.x + pad, at_.rest.y + scale_.mm(1.6), at_.rest.w - 2.0F * pad, at_.rest.h - scale_.mm(2.6)};
    const std::vector<std::string> wrong = troubles();
    if (!wrong.empty()) {
      const float sign = scale_.mm(2.6);
      draw_notice_sign(canvas_, {area.x + sign, area.y + sign}, sign, theme::kTrouble, theme::kPanel);
      const float left = area.x + 2.0F * sign + scale_.mm(1.6);
      draw_paragraphs(text_, {Weight::bold, scale_.text_mm(3.0)}, {left, area.y, area.x + area.w - left, area.h}, wrong,
                      scale_.mm(1.0), theme::kTrouble);
      return;
    }
    const std::string left_over = left_over_text(entry_, units(), desk_.design().has_value());
    const TextStyle style = text_.fitted({Weight::regular, scale_.text_mm(kSmall_mm)}, left_over, area.w);
    text_.draw(style, {area.x, area.y + static_cast<float>(style.height_px)}, left_over, theme::kTextQuiet);
    const float used = static_cast<float>(style.height_px) + scale_.mm(2.4);
    draw_checklist({area.x, area.y + used, area.w, area.h - used});
  }

  // Whether the job wants one; nothing where that is not known.
  std::optional<bool> topping() const {
    const std::optional<Job>& job = desk_.work().job();
    if (!job) return std::nullopt;
    const std::string wanted = preparation(*job, desk_.cloth_guide()).topping.value;
    if (wanted.empty()) return std::nullopt;
    return wanted != kNoTopping;
  }

  // In two columns, as many lines as there is room for.
  void draw_checklist(const SDL_FRect& area) {
    const std::vector<std::string> all = before_stitching(topping());
    const float gap = scale_.mm(2.0), width = (area.w - gap) / 2.0F;
    const std::size_t lines = (all.size() + 1) / 2;
    const float pitch = area.h / static_cast<float>(lines);
    for (std::size_t i = 0; i < all.size(); ++i) {
      const auto column = static_cast<float>(i / lines), line = static_cast<float>(i % lines);
      draw_item({area.x + column * (width + gap), area.y + line * pitch, width, pitch}, all[i]);
    }
  }

  void draw_item(const SDL_FRect& area, const std::string& words) {
    const float box = scale_.mm(2.4), line = scale_.mm(0.35);
    const float middle = area.y + area.h / 2.0F;
    const SDL_FRect square{area.x, middle - box / 2.0F, box, box};
    canvas_.rect(square, theme::kTextQuiet);
    canvas_.rect({square.x + line, square.y + line, box - 2.0F * line, box - 2.0F * line}, theme::kPanel);
    const float left = area.x + box + scale_.mm(1.4), width = area.x + area.w - left;
    const TextStyle style{Weight::regular, scale_.text_mm(kSmall_mm)};
    const auto lines = static_cast<float>(text_.wrap(style, words, width).size());
    const float height =
        std::min(area.h, (lines - 1.0F) * Text::line_pitch(style) + 1.35F * static_cast<float>(style.height_px));
    draw_block(text_, style, {left, middle - height / 2.0F, width, area.y + area.h - middle + height / 2.0F}, words,
               theme::kText);
  }

  Canvas& canvas_;
  Text& text_;
  const Scale& scale_;
  const Machine& machine_;
  const MachineEntry& entry_;
  const Desk& desk_;
  EntryLayout at_;
  Rows rows_;
};

}  // namespace

EntryLayout entry_layout(const WorkLayout& work, bool jog_first) {
  EntryLayout l;
  const SDL_FRect& panel = work.readout;
  float y = panel.y;
  const auto next = [&](float height) {
    const SDL_FRect area{panel.x, y, panel.w, height};
    y += height;
    return area;
  };
  const float rotation = kRotationShare * panel.h, jog = kJogShare * panel.h;
  if (!jog_first) l.rotation = next(rotation);
  for (SDL_FRect& area : l.jog) area = next(jog);
  if (jog_first) l.rotation = next(rotation);
  l.rest = next(panel.y + panel.h - y);
  l.digits_px = std::min(work.scale.mm(kMostDigits_mm), jog - work.scale.mm(3.0));
  return l;
}

void draw_entry(Canvas& canvas, Text& text, const WorkLayout& layout, const Desk& desk) {
  EntryPanel(canvas, text, layout, desk).draw(layout.readout);
}

}  // namespace app
