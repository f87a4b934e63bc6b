#include "app/screen/touch_list.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "app/format.h"
#include "app/screen/symbols.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr double kGap_mm = 1.6;
constexpr double kBar_mm = 18.0;
constexpr double kRoomy = 1.25;

bool inside(const SDL_FRect& r, SDL_FPoint p) { return p.x >= r.x && p.x < r.x + r.w && p.y >= r.y && p.y < r.y + r.h; }

}  // namespace

int TouchList::end() const { return std::min(count_, (line_ + visible_) * columns_); }

void TouchList::move(int lines) { line_ = std::clamp(line_ + lines, 0, std::max(0, this->lines() - visible_)); }

void TouchList::show(int entry) {
  const int line = entry / columns_;
  if (line < line_) line_ = line;
  if (line >= line_ + visible_) line_ = line - visible_ + 1;
}

std::vector<Button> TouchList::placed(std::vector<Button> entries, const SDL_FRect& area, const Scale& scale,
                                      Shape shape) {
  const float gap = scale.mm(kGap_mm);
  area_ = area;
  columns_ = std::max(1, shape.columns);
  count_ = static_cast<int>(entries.size());
  visible_ = std::max(1, static_cast<int>((area.h + gap) / (scale.mm(shape.line_mm) + gap)));
  ids_.clear();
  for (const Button& entry : entries) ids_.push_back(entry.id);
  move(0);
  const bool all = lines() <= visible_;
  float width = area.w - (all ? 0.0F : scale.mm(kBar_mm) + gap);
  if (shape.widest_mm > 0.0) width = std::min(width, scale.mm(shape.widest_mm));
  const auto columns = static_cast<float>(columns_);
  const float column = (width - gap * (columns - 1.0F)) / columns;
  // A long list's lines fill the place; a short one's are a little higher than need be where there is room.
  const int standing = all ? std::max(1, lines()) : visible_;
  const float filling = (area.h - gap * static_cast<float>(standing - 1)) / static_cast<float>(standing);
  const float height = all ? std::min(filling, scale.mm(kRoomy * shape.line_mm)) : filling;
  pitch_px_ = height + gap;
  std::vector<Button> shown;
  for (int i = first(); i < end(); ++i) {
    Button& entry = entries[static_cast<std::size_t>(i)];
    entry.row = true;
    entry.area = {area.x + static_cast<float>(i % columns_) * (column + gap),
                  area.y + static_cast<float>(i / columns_ - line_) * pitch_px_, column, height};
    shown.push_back(std::move(entry));
  }
  up_ = down_ = {};
  if (all) return shown;
  const float bar = scale.mm(kBar_mm), x = area.x + area.w - bar;
  const float button = std::min(scale.mm(22.0), (area.h - scale.mm(8.0)) / 2.0F);
  up_ = {x, area.y, bar, button};
  down_ = {x, area.y + area.h - button, bar, button};
  for (const int id : {kUp, kDown}) {
    Button b;
    b.id = id;
    b.area = id == kUp ? up_ : down_;
    b.enabled = id == kUp ? line_ > 0 : line_ + visible_ < lines();
    shown.push_back(b);
  }
  return shown;
}

void TouchList::draw_over(Canvas& canvas, Text& text, const Scale& scale) const {
  if (up_.w <= 0.0F) return;
  const auto middle = [](const SDL_FRect& r) { return SDL_FPoint{r.x + r.w / 2.0F, r.y + r.h / 2.0F}; };
  const Colour up = line_ > 0 ? theme::kText : theme::kRule;
  const Colour down = line_ + visible_ < lines() ? theme::kText : theme::kRule;
  draw_slide_sign(canvas, middle(up_), scale.mm(4.0), 0.0F, -1.0F, up);
  draw_slide_sign(canvas, middle(down_), scale.mm(4.0), 0.0F, 1.0F, down);
  const std::string where = format(tr("%d-%d of %d"), first() + 1, end(), count_);
  const TextStyle style = text.fitted({Weight::regular, scale.text_mm(2.4)}, where, up_.w);
  const float y = (up_.y + up_.h + down_.y + static_cast<float>(style.height_px)) / 2.0F;
  text.draw_centred(style, {up_.x + up_.w / 2.0F, y}, where, theme::kTextQuiet);
}

// The list follows the finger by whole lines; what it pressed on is let go.
bool TouchList::drag(const InputEvent& event, Buttons& buttons) {
  using Kind = InputEvent::Kind;
  if (event.kind == Kind::pointer_down) {
    dragging_ = false;
    held_y_.reset();
    if (lines() > visible_ && inside(area_, event.at) && event.at.x < up_.x) held_y_ = event.at.y;
    held_line_ = line_;
    return false;
  }
  if (!held_y_) return false;
  if (event.kind == Kind::pointer_up) {
    held_y_.reset();
    if (dragging_) buttons.let_go();
    return std::exchange(dragging_, false);
  }
  if (event.kind != Kind::pointer_move) return false;
  const float way = event.at.y - *held_y_;
  if (!dragging_ && std::abs(way) < 0.25F * pitch_px_) return false;
  dragging_ = true;
  buttons.let_go();
  line_ = held_line_;
  move(-static_cast<int>(std::lround(way / pitch_px_)));
  return true;
}

bool TouchList::move_by_key(const InputEvent& event, Buttons& buttons) {
  if (event.kind != InputEvent::Kind::key) return false;
  switch (event.key) {
    case SDLK_PAGEUP:
      move(-visible_);
      return true;
    case SDLK_PAGEDOWN:
      move(visible_);
      return true;
    case SDLK_HOME:
      move(-lines());
      return true;
    case SDLK_END:
      move(lines());
      return true;
    case SDLK_UP:
    case SDLK_DOWN: {
      const auto at = std::find(ids_.begin(), ids_.end(), buttons.focus().value_or(-1));
      if (!buttons.focus() || at == ids_.end()) return false;
      const int entry = static_cast<int>(at - ids_.begin()) + (event.key == SDLK_UP ? -columns_ : columns_);
      if (entry < 0 || entry >= count_ || (entry >= first() && entry < end())) return false;
      show(entry);
      buttons.focus_on(ids_[static_cast<std::size_t>(entry)]);
      return true;
    }
    default:
      return false;
  }
}

std::optional<int> TouchList::handle(const InputEvent& event, Buttons& buttons) {
  if (drag(event, buttons) || move_by_key(event, buttons)) return std::nullopt;
  const auto id = buttons.handle(event);
  if (id == kUp) move(-visible_);
  if (id == kDown) move(visible_);
  return id == kUp || id == kDown ? std::nullopt : id;
}

}  // namespace app
