#include "app/screen/notice.h"

#include "app/screen/symbols.h"

namespace app {

void draw_notice(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& band, const std::string& notice) {
  const float sign = scale.mm(1.9);
  const float left = band.x + scale.mm(2.0);
  const float room = band.w - 3.0F * scale.mm(2.0) - 2.0F * sign;
  const TextStyle style = text.fitted({Weight::bold, scale.text_mm(2.5)}, notice, room);
  const float middle = band.y + band.h / 2.0F;
  canvas.rect(band, theme::kMove);
  draw_notice_sign(canvas, {left + sign, middle}, sign, theme::kGround, theme::kMove);
  text.draw(style, {left + 2.0F * sign + scale.mm(1.6), middle + static_cast<float>(style.height_px) / 2.0F}, notice,
            theme::kGround);
}

}  // namespace app
