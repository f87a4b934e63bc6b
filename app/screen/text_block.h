// Text in several lines inside a rectangle.
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "app/screen/text.h"

namespace app {

// Wraps the text into `area` from its top; made smaller, down to 60 %, where it would reach out of it. Returns the y of
// the bottom of its last line, px.
float draw_block(Text& text, TextStyle style, const SDL_FRect& area, std::string_view utf8, Colour colour);

// The same for paragraphs of one size, with `gap` px between them. Where the last ones still reach out of the area, a
// line says how many are left out.
float draw_paragraphs(Text& text, TextStyle style, const SDL_FRect& area, std::span<const std::string> paragraphs,
                      float gap, Colour colour);

// Whether they fit at full size.
bool paragraphs_fit(Text& text, const TextStyle& style, const SDL_FRect& area, std::span<const std::string> paragraphs,
                    float gap);

}  // namespace app
