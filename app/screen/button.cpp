#include "app/screen/button.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "app/screen/symbols.h"
#include "app/screen/text_block.h"

namespace app {
namespace {

constexpr double kRadius_mm = 1.6;
constexpr double kLabel_mm = 3.4;
constexpr double kDetail_mm = 2.5;
constexpr double kPad_mm = 2.0;
constexpr double kSign_mm = 2.4;

bool inside(const SDL_FRect& r, SDL_FPoint p) { return p.x >= r.x && p.x < r.x + r.w && p.y >= r.y && p.y < r.y + r.h; }

SDL_FRect grown(const SDL_FRect& r, float by) { return {r.x - by, r.y - by, r.w + 2.0F * by, r.h + 2.0F * by}; }

// A frame around the area, `width` px, on its inside.
void frame(Canvas& canvas, const SDL_FRect& area, float radius, float width, Colour line, Colour fill) {
  canvas.rounded_rect(area, radius, line);
  canvas.rounded_rect(grown(area, -width), std::max(0.0F, radius - width), fill);
}

// As large as fits, in several lines where one is too narrow.
void draw_label(Text& text, const Scale& scale, const SDL_FRect& room, const std::string& label, Colour colour) {
  constexpr float kPitch = 1.55F;
  constexpr int kLeast_px = 6;
  TextStyle style{Weight::bold, scale.text_mm(kLabel_mm)};
  std::vector<std::string_view> lines;
  const auto fits = [&] {
    lines = text.wrap(style, label, room.w);
    const auto height = (1.3F + kPitch * static_cast<float>(lines.size() - 1)) * static_cast<float>(style.height_px);
    return height <= room.h &&
           std::all_of(lines.begin(), lines.end(), [&](auto line) { return text.width(style, line) <= room.w; });
  };
  while (!label.empty() && !fits() && style.height_px > kLeast_px) --style.height_px;
  const float pitch = kPitch * static_cast<float>(style.height_px);
  const float above = static_cast<float>(lines.size()) * pitch - pitch;
  float y = room.y + room.h / 2.0F - above / 2.0F + static_cast<float>(style.height_px) / 2.0F;
  for (std::string_view line : lines) {
    text.draw_centred(style, {room.x + room.w / 2.0F, y}, line, colour);
    y += pitch;
  }
}

// Label and detail of a list's entry, in the middle of the height.
void draw_entry(Text& text, const Scale& scale, SDL_FRect room, const Button& button) {
  const Colour colour = button.enabled ? theme::kText : theme::kTextQuiet;
  if (!button.note.empty()) {
    const TextStyle small = text.fitted({Weight::bold, scale.text_mm(kDetail_mm)}, button.note, 0.4F * room.w);
    const float height = static_cast<float>(small.height_px);
    text.draw_right(small, {room.x + room.w, room.y + (room.h + height) / 2.0F}, button.note, colour);
    room.w -= text.width(small, button.note) + scale.mm(kPad_mm);
  }
  const float title = scale.mm(1.35 * kLabel_mm);
  const float line = scale.mm(1.75 * kDetail_mm);
  const TextStyle bold{Weight::bold, scale.text_mm(kLabel_mm)};
  if (button.detail.empty()) {
    const float top = room.y + (room.h - title) / 2.0F;
    draw_block(text, bold, {room.x, top, room.w, title}, button.label, colour);
    return;
  }
  const TextStyle small{Weight::regular, scale.text_mm(kDetail_mm)};
  const auto lines = static_cast<float>(text.wrap(small, button.detail, room.w).size());
  const float gap = scale.mm(1.4);
  const float left_over = std::max(0.0F, room.h - title - gap - lines * line + scale.mm(0.4 * kDetail_mm));
  room.y += left_over / 2.0F;
  room.h -= left_over / 2.0F;
  draw_block(text, bold, {room.x, room.y, room.w, title}, button.label, colour);
  draw_block(text, small, {room.x, room.y + title + gap, room.w, room.h - title - gap}, button.detail,
             button.enabled ? theme::kTextQuiet : theme::kText);
}

void draw_one(Canvas& canvas, Text& text, const Scale& scale, const Button& button, bool focused, bool pressed) {
  const float radius = scale.mm(kRadius_mm);
  const float line = scale.mm(0.5);
  if (focused) frame(canvas, grown(button.area, 3.0F * line), radius + 3.0F * line, line, theme::kText, theme::kGround);
  const bool light = button.main && button.enabled;
  const Colour fill = !button.enabled ? theme::kPanel
                      : light         ? (pressed ? theme::kTextQuiet : theme::kText)
                                      : (pressed ? theme::kRule : theme::kPanelRaised);
  const Colour edge = button.selected ? theme::kText : button.enabled ? theme::kTextQuiet : fill;
  frame(canvas, button.area, radius, button.selected ? 2.0F * line : line, light ? fill : edge, fill);
  const float pad = scale.mm(kPad_mm);
  SDL_FRect room{button.area.x + pad, button.area.y + pad / 2.0F, button.area.w - 2.0F * pad, button.area.h - pad};
  // A pressed button gives way under the finger.
  if (pressed) room.y += scale.mm(0.6);
  room.x += button.picture_px;
  room.w -= button.picture_px;
  if (button.selected || button.bad) {
    const float sign = scale.mm(kSign_mm);
    const SDL_FPoint at{room.x + sign, room.y + room.h / 2.0F};
    if (button.bad) {
      draw_notice_sign(canvas, at, sign, theme::kTrouble, theme::kPanel);
    } else {
      draw_tick(canvas, at, sign, theme::kWithin, theme::kPanel);
    }
    room.x += 2.0F * sign + pad / 2.0F;
    room.w -= 2.0F * sign + pad / 2.0F;
  }
  if (button.row) return draw_entry(text, scale, room, button);
  draw_label(text, scale, room, button.label,
             light            ? theme::kGround
             : button.enabled ? theme::kText
                              : theme::kTextQuiet);
}

}  // namespace

void place_in_row(std::span<Button> buttons, const SDL_FRect& row, float gap) {
  const auto n = static_cast<float>(buttons.size());
  const float width = (row.w - gap * (n - 1.0F)) / n;
  float x = row.x;
  for (Button& button : buttons) {
    button.area = {x, row.y, width, row.h};
    x += width + gap;
  }
}

void place_in_column(std::span<Button> buttons, const SDL_FRect& column, float height, float gap) {
  float y = column.y;
  for (Button& button : buttons) {
    button.area = {column.x, y, column.w, height};
    y += height + gap;
  }
}

const Button* Buttons::find(std::optional<int> id) const {
  if (!id) return nullptr;
  const auto it = std::find_if(buttons_.begin(), buttons_.end(), [&](const Button& b) { return b.id == *id; });
  return it != buttons_.end() && it->enabled ? &*it : nullptr;
}

void Buttons::set(std::vector<Button> buttons) {
  buttons_ = std::move(buttons);
  if (find(focus_) == nullptr) focus_.reset();
  if (find(held_) == nullptr) held_.reset();
}

const Button* Buttons::hit(SDL_FPoint at) const {
  const auto it =
      std::find_if(buttons_.begin(), buttons_.end(), [&](const Button& b) { return b.enabled && inside(b.area, at); });
  return it != buttons_.end() ? &*it : nullptr;
}

void Buttons::move_focus(int steps) {
  std::vector<int> ids;
  for (const Button& button : buttons_)
    if (button.enabled) ids.push_back(button.id);
  if (ids.empty()) return;
  const int n = static_cast<int>(ids.size());
  const auto at = std::find(ids.begin(), ids.end(), focus_.value_or(-1));
  int index = focus_ && at != ids.end() ? static_cast<int>(at - ids.begin()) + steps : steps > 0 ? 0 : n - 1;
  index = (index % n + n) % n;
  focus_ = ids[static_cast<std::size_t>(index)];
}

void Buttons::move_focus(int dx, int dy) {
  const Button* from = find(focus_);
  const Button* best = nullptr;
  float best_way = 0.0F;
  for (const Button& to : buttons_) {
    if (from == nullptr || !to.enabled || to.id == from->id) continue;
    const auto along = [&](const SDL_FRect& r) { return dx != 0 ? std::pair(r.x, r.w) : std::pair(r.y, r.h); };
    const auto across = [&](const SDL_FRect& r) { return dx != 0 ? std::pair(r.y, r.h) : std::pair(r.x, r.w); };
    const auto [a, a_size] = along(from->area);
    const auto [b, b_size] = along(to.area);
    const float way = dx + dy > 0 ? b - (a + a_size) : a - (b + b_size);
    if (way < -1.0F) continue;
    const auto [c, c_size] = across(from->area);
    const auto [d, d_size] = across(to.area);
    const float aside = std::max({0.0F, d - (c + c_size), c - (d + d_size)});
    const float off_middle = std::abs(d + d_size / 2.0F - c - c_size / 2.0F);
    const float length = way + 4.0F * aside + 0.01F * off_middle;
    if (best == nullptr || length < best_way) {
      best = &to;
      best_way = length;
    }
  }
  if (best == nullptr) return move_focus(dx + dy);
  focus_ = best->id;
}

std::optional<int> Buttons::key_pressed(const InputEvent& event) {
  for (const Button& button : buttons_)
    if (button.enabled && button.key != 0 && button.key == event.key) return button.id;
  switch (event.key) {
    case SDLK_TAB:
      move_focus(event.shift ? -1 : 1);
      return std::nullopt;
    case SDLK_RIGHT:
      move_focus(1, 0);
      return std::nullopt;
    case SDLK_LEFT:
      move_focus(-1, 0);
      return std::nullopt;
    case SDLK_DOWN:
      move_focus(0, 1);
      return std::nullopt;
    case SDLK_UP:
      move_focus(0, -1);
      return std::nullopt;
    case SDLK_RETURN:
    case SDLK_KP_ENTER:
    case SDLK_SPACE: {
      if (const Button* focused = find(focus_)) return focused->id;
      if (event.key == SDLK_SPACE) return std::nullopt;
      const auto wanted =
          std::find_if(buttons_.begin(), buttons_.end(), [](const Button& b) { return b.enabled && b.main; });
      return wanted != buttons_.end() ? std::optional(wanted->id) : std::nullopt;
    }
    default:
      return std::nullopt;
  }
}

std::optional<int> Buttons::handle(const InputEvent& event) {
  switch (event.kind) {
    case InputEvent::Kind::pointer_down: {
      const Button* button = hit(event.at);
      held_ = button != nullptr ? std::optional(button->id) : std::nullopt;
      over_ = button != nullptr;
      focus_.reset();
      return std::nullopt;
    }
    case InputEvent::Kind::pointer_move: {
      const Button* held = find(held_);
      over_ = held != nullptr && inside(held->area, event.at);
      return std::nullopt;
    }
    case InputEvent::Kind::pointer_up: {
      const Button* held = find(std::exchange(held_, std::nullopt));
      over_ = false;
      return held != nullptr && inside(held->area, event.at) ? std::optional(held->id) : std::nullopt;
    }
    case InputEvent::Kind::key:
      return key_pressed(event);
    default:
      return std::nullopt;
  }
}

void Buttons::draw(Canvas& canvas, Text& text, const Scale& scale) const {
  for (const Button& button : buttons_) {
    draw_one(canvas, text, scale, button, focus_ == button.id, pressed() == button.id);
  }
}

}  // namespace app
