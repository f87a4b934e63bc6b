#include "app/screen/page.h"

#include <algorithm>

#include "app/screen/symbols.h"
#include "app/screen/text_block.h"

namespace app {
namespace {

constexpr double kMargin_mm = 2.5;
constexpr double kHeader_mm = 33.0;
constexpr double kPortraitHeader_mm = 40.0;
constexpr double kSide_mm = 58.0;
constexpr double kNarrowSide_mm = 44.0;
constexpr double kPortraitSide_mm = 46.0;
constexpr double kSentence_mm = 4.0;
constexpr double kLeastHeadline = 0.6;  // of its full height, on one line

// The largest height at which the headline stands on one line, else on two.
float draw_headline(Text& text, const Scale& scale, const SDL_FRect& area, const std::string& headline, Colour colour) {
  TextStyle style{Weight::bold, scale.text_mm(kHeadline_mm)};
  const float wide = text.width(style, headline);
  const double share = std::max(kLeastHeadline, static_cast<double>(area.w / std::max(1.0F, wide)));
  if (wide > area.w) style.height_px = static_cast<int>(share * style.height_px);
  return draw_block(text, style, area, headline, colour);
}

}  // namespace

PageLayout page_layout(int width_px, int height_px, int button_count, ButtonsIn where) {
  PageLayout l;
  l.scale = Scale(width_px, height_px);
  l.landscape = height_px <= width_px;
  l.column = l.landscape && where == ButtonsIn::column;
  const auto w = static_cast<float>(width_px);
  const auto h = static_cast<float>(height_px);
  const float margin = l.scale.mm(kMargin_mm);
  const float touch = l.scale.mm(kTouch_mm);
  const float header = l.scale.mm(l.landscape ? kHeader_mm : kPortraitHeader_mm);
  l.header = {margin, margin, w - 2.0F * margin, header};
  const float top = header + 2.0F * margin;
  const auto n = static_cast<float>(button_count);
  if (l.column) {
    const float side = l.scale.mm(kSide_mm);
    const float buttons = n > 0.0F ? n * touch + (n - 1.0F) * margin : 0.0F;
    const float x = w - margin - side;
    l.main = {margin, top, x - 2.0F * margin, h - margin - top};
    l.buttons = {x, h - margin - buttons, side, buttons};
    l.side = {x, top, side, l.buttons.y - margin - top};
    return l;
  }
  const float buttons = n > 0.0F ? touch : 0.0F;
  l.buttons = {margin, h - margin - buttons, w - 2.0F * margin, buttons};
  if (l.landscape) {
    const float side = l.scale.mm(kNarrowSide_mm);
    const float x = w - margin - side;
    l.main = {margin, top, x - 2.0F * margin, l.buttons.y - margin - top};
    l.side = {x, top, side, l.main.h};
  } else {
    const float side = l.scale.mm(kPortraitSide_mm);
    l.side = {margin, l.buttons.y - margin - side, w - 2.0F * margin, side};
    l.main = {margin, top, w - 2.0F * margin, l.side.y - margin - top};
  }
  return l;
}

std::vector<Button> placed(std::vector<Button> buttons, const PageLayout& layout) {
  const float gap = layout.scale.mm(kMargin_mm);
  if (layout.column) {
    place_in_column(buttons, layout.buttons, layout.scale.mm(kTouch_mm), gap);
  } else {
    place_in_row(buttons, layout.buttons, gap);
  }
  return buttons;
}

void draw_header(Canvas& canvas, Text& text, const PageLayout& layout, const PageHeader& header) {
  const Scale& scale = layout.scale;
  const SDL_FRect& area = layout.header;
  canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
  const float pad = scale.mm(3.0);
  const TextStyle caption{Weight::regular, scale.text_mm(2.3)};
  const float left = area.x + pad;
  const float width = area.w - 2.0F * pad;
  float y = area.y + scale.mm(2.0) + static_cast<float>(caption.height_px);
  const float used = text.draw(caption, {left, y}, header.title, theme::kTextQuiet);
  const float room = width - used - pad;
  const TextStyle right = text.fitted(caption, header.right, room);
  text.draw_right(right, {left + width, y}, header.right, theme::kTextQuiet);
  y += scale.mm(3.6);

  SDL_FRect line{left, y, width, scale.mm(kHeadline_mm * 1.35)};
  Colour colour = theme::kText;
  if (header.mood != PageMood::plain) {
    const float sign = scale.mm(0.55 * kHeadline_mm);
    const SDL_FPoint centre{left + sign, y + scale.mm(0.5 * kHeadline_mm)};
    if (header.mood == PageMood::good) {
      draw_tick(canvas, centre, sign, theme::kWithin, theme::kPanel);
    } else {
      draw_notice_sign(canvas, centre, sign, theme::kTrouble, theme::kPanel);
    }
    colour = header.mood == PageMood::good ? theme::kWithin : theme::kTrouble;
    line.x += 2.0F * sign + scale.mm(2.5);
    line.w -= 2.0F * sign + scale.mm(2.5);
  }
  draw_headline(text, scale, line, header.headline, colour);
  y += scale.mm(kHeadline_mm + 4.2);
  draw_block(text, {Weight::regular, scale.text_mm(kSentence_mm)},
             {left, y, width, area.y + area.h - scale.mm(0.8) - y}, header.sentence, theme::kText);
}

}  // namespace app
