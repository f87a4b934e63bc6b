#include "app/screen/text_block.h"

#include <algorithm>
#include <vector>

#include "app/format.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr double kLeast = 0.6;

// Letters reach below the base line by so much of a digit's height.
constexpr float kBelow = 0.35F;

using Lines = std::vector<std::string_view>;

float height_of(const TextStyle& style, std::size_t lines) {
  if (lines == 0) return 0.0F;
  return static_cast<float>(lines - 1) * Text::line_pitch(style) +
         (1.0F + kBelow) * static_cast<float>(style.height_px);
}

// Each paragraph's lines; nothing when they reach out of the area.
bool fits(Text& text, const TextStyle& style, const SDL_FRect& area, const std::vector<std::string_view>& paragraphs,
          float gap) {
  float height = -gap;
  for (std::string_view paragraph : paragraphs) {
    const Lines lines = text.wrap(style, paragraph, area.w);
    if (std::any_of(lines.begin(), lines.end(), [&](auto line) { return text.width(style, line) > area.w; }))
      return false;
    height += gap + height_of(style, lines.size());
  }
  return height <= area.h;
}

float draw_all(Text& text, TextStyle style, const SDL_FRect& area, std::vector<std::string_view> paragraphs, float gap,
               Colour colour) {
  const int least = std::max(1, static_cast<int>(kLeast * style.height_px));
  while (style.height_px > least && !fits(text, style, area, paragraphs, gap)) --style.height_px;
  const std::size_t all = paragraphs.size();
  std::string left_out;
  for (std::size_t kept = all; kept > 1 && !fits(text, style, area, paragraphs, gap);) {
    --kept;
    left_out = format(tr("(and %d more)"), static_cast<int>(all - kept));
    paragraphs.resize(kept);
    paragraphs.push_back(left_out);
  }
  if (!fits(text, style, area, paragraphs, gap)) text.did_not_fit(paragraphs.front());
  float top = area.y;
  float bottom = area.y;
  for (std::string_view paragraph : paragraphs) {
    const Lines lines = text.wrap(style, paragraph, area.w);
    float y = top + static_cast<float>(style.height_px);
    for (std::string_view line : lines) {
      text.draw(style, {area.x, y}, line, colour);
      y += Text::line_pitch(style);
    }
    bottom = top + height_of(style, lines.size());
    top = bottom + gap;
  }
  return bottom;
}

}  // namespace

float draw_block(Text& text, TextStyle style, const SDL_FRect& area, std::string_view utf8, Colour colour) {
  return draw_all(text, style, area, {utf8}, 0.0F, colour);
}

float draw_paragraphs(Text& text, TextStyle style, const SDL_FRect& area, std::span<const std::string> paragraphs,
                      float gap, Colour colour) {
  return draw_all(text, style, area, {paragraphs.begin(), paragraphs.end()}, gap, colour);
}

bool paragraphs_fit(Text& text, const TextStyle& style, const SDL_FRect& area, std::span<const std::string> paragraphs,
                    float gap) {
  return fits(text, style, area, {paragraphs.begin(), paragraphs.end()}, gap);
}

}  // namespace app
