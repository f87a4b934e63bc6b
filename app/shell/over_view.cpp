#include "app/shell/over_view.h"

#include <cmath>

#include "app/screen/button.h"
#include "app/screen/symbols.h"
#include "app/screen/text_block.h"
#include "app/words/words.h"

namespace app {

void draw_message(Canvas& canvas, Text& text, cv::Size screen, const Message& message) {
  const Scale scale(screen.width, screen.height);
  const float margin = scale.mm(6.0), pad = scale.mm(3.0), radius = scale.mm(3.2);
  const TextStyle style{Weight::bold, scale.text_mm(3.4)};
  const float width = static_cast<float>(screen.width) - 2.0F * margin;
  const float left = margin + 2.0F * pad + 2.0F * radius;
  const float room = margin + width - pad - left;
  const auto lines = static_cast<float>(text.wrap(style, message.text, room).size());
  const float height =
      2.0F * pad + (lines - 1.0F) * Text::line_pitch(style) + 1.4F * static_cast<float>(style.height_px);
  const float buttons = scale.mm(kTouch_mm + 5.0);
  const SDL_FRect band{margin, static_cast<float>(screen.height) - buttons - height, width, height};
  const Colour ground = message.bad ? theme::kMove : theme::kText;
  canvas.rounded_rect(band, scale.mm(1.6), theme::kGround);
  const float edge = scale.mm(0.5);
  canvas.rounded_rect({band.x + edge, band.y + edge, band.w - 2.0F * edge, band.h - 2.0F * edge}, scale.mm(1.4),
                      ground);
  const SDL_FPoint sign{margin + pad + radius, band.y + band.h / 2.0F};
  if (message.bad) {
    draw_notice_sign(canvas, sign, radius, theme::kGround, ground);
  } else {
    draw_tick(canvas, sign, radius, theme::kGround, ground);
  }
  draw_block(text, style, {left, band.y + pad, room, band.h - pad}, message.text, theme::kGround);
}

void draw_resting(Canvas& canvas, Text& text, cv::Size screen, double now_s) {
  constexpr double kOnceAround_s = 600.0;
  const Scale scale(screen.width, screen.height);
  canvas.clear({0, 0, 0});
  const double angle = 6.283185307179586 * now_s / kOnceAround_s;
  const SDL_FPoint at{static_cast<float>(screen.width * (0.5 + 0.2 * std::cos(angle))),
                      static_cast<float>(screen.height * (0.5 + 0.3 * std::sin(angle)))};
  const TextStyle style{Weight::regular, scale.text_mm(3.0)};
  text.draw_centred(style, at, tr("Resting. Lay something on the board, or touch the screen."), theme::kTextQuiet);
}

}  // namespace app
