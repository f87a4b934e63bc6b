#include "app/screen/notice.h"

#include "app/screen/symbols.h"

namespace app {
namespace {

// Where the sign stands, and the words beside it.
struct Band {
  Band(Text& text, const Scale& scale, const SDL_FRect& band, const std::string& notice, Weight weight)
      : radius(scale.mm(1.9)), sign{band.x + scale.mm(2.0) + radius, band.y + band.h / 2.0F} {
    const float left = sign.x + radius + scale.mm(1.6);
    style = text.fitted({weight, scale.text_mm(2.5)}, notice, band.x + band.w - scale.mm(2.0) - left);
    words = {left, sign.y + static_cast<float>(style.height_px) / 2.0F};
  }
  float radius;
  SDL_FPoint sign, words{};
  TextStyle style;
};

}  // namespace

void draw_notice(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& band, const std::string& notice) {
  const Band b(text, scale, band, notice, Weight::bold);
  canvas.rect(band, theme::kMove);
  draw_notice_sign(canvas, b.sign, b.radius, theme::kGround, theme::kMove);
  text.draw(b.style, b.words, notice, theme::kGround);
}

void draw_quiet_notice(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& band,
                       const std::string& notice) {
  const Band b(text, scale, band, notice, Weight::regular);
  canvas.rect(band, theme::kPanelRaised);
  draw_tick(canvas, b.sign, b.radius, theme::kWithin, theme::kPanel);
  text.draw(b.style, b.words, notice, theme::kText);
}

}  // namespace app
