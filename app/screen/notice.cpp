#include "app/screen/notice.h"

#include <string_view>
#include <vector>

#include "app/screen/symbols.h"

namespace app {
namespace {

constexpr double kLetters_mm = 2.5;
constexpr float kSmaller = 0.8F;  // before a further line is begun

// Where the sign stands, and the lines beside it.
struct Band {
  Band(Text& text, const Scale& scale, const SDL_FRect& band, std::string_view notice, Weight weight)
      : radius(scale.mm(1.9)), sign{band.x + scale.mm(2.0) + radius, band.y + scale.mm(kNotice_mm / 2.0)} {
    left = sign.x + radius + scale.mm(1.6);
    const float room = band.x + band.w - scale.mm(1.5) - left;
    style = {weight, scale.text_mm(kLetters_mm)};
    if (text.width(style, notice) <= room) {
      lines = {notice};
    } else {
      style = {weight, scale.text_mm(kSmaller * kLetters_mm)};
      lines = text.wrap(style, notice, room);
    }
    // A single line may be a little smaller still.
    if (lines.size() == 1) style = text.fitted({weight, scale.text_mm(kLetters_mm)}, notice, room);
  }
  void write(Text& text, Colour colour) const {
    const auto height = static_cast<float>(style.height_px);
    float y = sign.y + height / 2.0F;
    for (std::string_view line : lines) {
      text.draw(style, {left, y}, line, colour);
      y += 1.6F * height;
    }
  }
  float radius;
  SDL_FPoint sign;
  float left = 0.0F;
  TextStyle style;
  std::vector<std::string_view> lines;
};

}  // namespace

float notice_height(Text& text, const Scale& scale, float width, const std::string& notice) {
  const Band b(text, scale, {0.0F, 0.0F, width, 0.0F}, notice, Weight::bold);
  return scale.mm(kNotice_mm) + static_cast<float>(b.lines.size() - 1) * 1.6F * static_cast<float>(b.style.height_px);
}

void draw_notice(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& band, const std::string& notice) {
  const Band b(text, scale, band, notice, Weight::bold);
  canvas.rect(band, theme::kMove);
  draw_notice_sign(canvas, b.sign, b.radius, theme::kGround, theme::kMove);
  b.write(text, theme::kGround);
}

void draw_quiet_notice(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& band,
                       const std::string& notice) {
  const Band b(text, scale, band, notice, Weight::regular);
  canvas.rect(band, theme::kPanelRaised);
  draw_tick(canvas, b.sign, b.radius, theme::kWithin, theme::kPanel);
  b.write(text, theme::kText);
}

}  // namespace app
