#include "app/hoops/teach_drawings.h"

#include <algorithm>
#include <array>

#include "app/words/words.h"

namespace app {
namespace {

// One side of the rings as it would be cut through: the outer ring's wall, the inner one's, and beyond them the inner
// ring's far wall, broken off.
void draw_rings(Canvas& canvas, const SDL_FRect& rings, float wall) {
  const float gap = wall * 0.18F;
  const float y = rings.y, h = rings.h, left = rings.x;
  const float outer_top = y + 0.14F * h;  // the outer ring is a little lower
  const float far = left + 2.0F * wall + gap;
  canvas.rect({far, y + 0.12F * h, rings.x + rings.w - far, 0.88F * h}, theme::kRule);
  canvas.rounded_rect({left, outer_top, wall, y + h - outer_top}, 0.2F * wall, theme::kTextQuiet);
  canvas.rounded_rect({left + wall + gap, y, wall, h}, 0.2F * wall, theme::kRing);
}

void draw_ruler(Canvas& canvas, const SDL_FRect& ruler, float tick) {
  canvas.rounded_rect(ruler, 0.1F * ruler.w, theme::kMove);
  int number = 0;
  for (float y = ruler.y + ruler.h - tick; y > ruler.y + 0.5F * tick; y -= tick) {
    ++number;
    const float length = number % 5 == 0 ? 0.62F : 0.34F;
    canvas.line({ruler.x, y}, {ruler.x + length * ruler.w, y}, std::max(1.0F, 0.12F * tick), theme::kGround);
  }
}

}  // namespace

void draw_rim_measure(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& area,
                      const std::string& height) {
  canvas.rounded_rect(area, scale.mm(1.2), theme::kPanelRaised);
  const float pad = scale.mm(3.0);
  const TextStyle caption{Weight::regular, scale.text_mm(2.3)};
  const float board_y = area.y + area.h - pad - scale.mm(7.0);
  const float rim_h = std::min(scale.mm(30.0), 0.40F * area.h);
  const float wall = scale.mm(4.0);
  const SDL_FRect ruler{area.x + pad, board_y - 1.35F * rim_h, scale.mm(7.0), 1.35F * rim_h};
  const float dimension_x = ruler.x + ruler.w + scale.mm(4.5);
  const SDL_FRect rings{dimension_x + scale.mm(4.5), board_y - rim_h,
                        area.x + area.w - dimension_x - scale.mm(4.5) - pad, rim_h};
  draw_rings(canvas, rings, wall);
  canvas.rect({area.x + pad, board_y, area.w - 2.0F * pad, scale.mm(2.0)}, theme::kTextQuiet);
  draw_ruler(canvas, ruler, rim_h / 10.5F);
  // From the board to the top of the inner ring.
  const float line = scale.mm(0.4);
  const float top = rings.y;
  canvas.dashed_line({ruler.x + ruler.w, top}, {rings.x + rings.w, top}, line, scale.mm(1.2), theme::kText);
  const float middle = (top + board_y) / 2.0F;
  canvas.arrow({dimension_x, middle}, {dimension_x, top}, scale.mm(0.6), scale.mm(2.4), theme::kText);
  canvas.arrow({dimension_x, middle}, {dimension_x, board_y}, scale.mm(0.6), scale.mm(2.4), theme::kText);
  const float over = area.x + area.w - pad;
  const TextStyle number = text.fitted({Weight::bold, scale.text_mm(4.6)}, height, over - dimension_x);
  text.draw_right(number, {over, top - scale.mm(2.4)}, height, theme::kText);
  const float below = board_y + scale.mm(2.0) + scale.mm(3.8);
  text.draw_centred(caption, {area.x + area.w / 2.0F, below}, tr("board"), theme::kTextQuiet);
  const std::array<std::string, 2> words{tr("Both rings pressed together,"), tr("empty, on the bare board")};
  float y = area.y + pad + static_cast<float>(caption.height_px);
  for (const std::string& one : words) {
    text.draw_centred(text.fitted(caption, one, area.w - 2.0F * pad), {area.x + area.w / 2.0F, y}, one, theme::kText);
    y += Text::line_pitch(caption);
  }
}

}  // namespace app
