#include "app/views/work_sign.h"

#include <algorithm>
#include <array>

#include "app/screen/symbols.h"

namespace app {

Colour mood_colour(WorkMood mood) {
  switch (mood) {
    case WorkMood::todo:
      return theme::kMove;
    case WorkMood::hold_still:
      return theme::kText;
    case WorkMood::done:
      return theme::kWithin;
    case WorkMood::problem:
      return theme::kTrouble;
  }
  return theme::kText;
}

void draw_mood_sign(Canvas& canvas, SDL_FPoint centre, float radius, WorkMood mood) {
  switch (mood) {
    case WorkMood::done:
      return draw_tick(canvas, centre, radius, theme::kWithin, theme::kPanel);
    case WorkMood::problem:
      return draw_notice_sign(canvas, centre, radius, theme::kTrouble, theme::kPanel);
    case WorkMood::hold_still:
      return draw_stillness(canvas, centre, radius, 0.0);
    case WorkMood::todo:
      // A bold chevron: go on.
      const std::array<SDL_FPoint, 3> points{SDL_FPoint{centre.x - 0.35F * radius, centre.y - 0.7F * radius},
                                             SDL_FPoint{centre.x + 0.35F * radius, centre.y},
                                             SDL_FPoint{centre.x - 0.35F * radius, centre.y + 0.7F * radius}};
      return canvas.polyline(points, false, 0.3F * radius, theme::kMove);
  }
}

void draw_stillness(Canvas& canvas, SDL_FPoint centre, float radius, double share) {
  const float width = 0.26F * radius;
  const float r = radius - width / 2.0F;
  canvas.circle(centre, r, width, theme::kRule);
  if (share > 0.0) canvas.arc(centre, r, 90.0 - 360.0 * std::min(1.0, share), 90.0, width, theme::kWithin);
  const float bar = 0.2F * radius, high = 0.7F * radius;
  canvas.rect({centre.x - 1.6F * bar, centre.y - high / 2.0F, bar, high}, theme::kText);
  canvas.rect({centre.x + 0.6F * bar, centre.y - high / 2.0F, bar, high}, theme::kText);
}

void draw_wanted(Canvas& canvas, SDL_FPoint centre, float radius, const Work& work) {
  using vision::Status;
  if (work.cycle().phase() == Phase::lift) {
    // Up and out of its place.
    draw_reason(canvas, {centre.x, centre.y + 0.25F * radius}, 0.75F * radius, Status::no_ring, theme::kTextQuiet,
                theme::kMove);
    return canvas.arrow({centre.x, centre.y + 0.35F * radius}, {centre.x, centre.y - radius}, 0.14F * radius,
                        0.4F * radius, theme::kText);
  }
  Status status = work.seen() ? work.seen()->status : Status::no_board;
  // The cloth is wanted, and it hides the ring.
  const bool no_ring = status == Status::no_ring || status == Status::ring_covered;
  if (work.cycle().phase() == Phase::lay_cloth && no_ring && work.seen()->stickers.empty()) status = Status::no_sticker;
  draw_reason(canvas, centre, radius, status, theme::kTextQuiet, theme::kTrouble);
}

void draw_no_picture(Canvas& canvas, SDL_FPoint centre, float radius) {
  const float line = std::max(2.0F, 0.06F * radius);
  const std::array<SDL_FPoint, 4> body{SDL_FPoint{centre.x - 0.9F * radius, centre.y - 0.45F * radius},
                                       SDL_FPoint{centre.x + 0.9F * radius, centre.y - 0.45F * radius},
                                       SDL_FPoint{centre.x + 0.9F * radius, centre.y + 0.6F * radius},
                                       SDL_FPoint{centre.x - 0.9F * radius, centre.y + 0.6F * radius}};
  canvas.polyline(body, true, line, theme::kTextQuiet);
  canvas.circle({centre.x, centre.y + 0.08F * radius}, 0.34F * radius, line, theme::kTextQuiet);
  canvas.rect({centre.x - 0.3F * radius, centre.y - 0.65F * radius, 0.6F * radius, 0.2F * radius}, theme::kTextQuiet);
  canvas.line({centre.x - 0.85F * radius, centre.y + 0.9F * radius},
              {centre.x + 0.85F * radius, centre.y - 0.9F * radius}, 1.6F * line, theme::kTrouble);
}

void draw_swap_sign(Canvas& canvas, const Scale& scale, const SDL_FRect& small) {
  const float side = scale.mm(4.6), inset = scale.mm(1.0);
  const SDL_FRect box{small.x + small.w - side - inset, small.y + inset, side, side};
  canvas.rounded_rect(box, scale.mm(0.8), with_alpha(theme::kGround, 220));
  const SDL_FPoint middle{box.x + side / 2.0F, box.y + side / 2.0F};
  const float reach = 0.36F * side, head = 0.3F * side, line = scale.mm(0.4);
  canvas.arrow(middle, {middle.x + reach, middle.y - reach}, line, head, theme::kText);
  canvas.arrow(middle, {middle.x - reach, middle.y + reach}, line, head, theme::kText);
}

}  // namespace app
