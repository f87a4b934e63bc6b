// What has to be said plainly as long as it holds, in a band: "No camera found: this is the rendered station".
#pragma once

#include <string>

#include "app/screen/canvas.h"
#include "app/screen/text.h"

namespace app {

inline constexpr double kNotice_mm = 6.2;  // the band's height

// What these words need in a band of this width: as much again for each further line.
float notice_height(Text& text, const Scale& scale, float width, const std::string& notice);

void draw_notice(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& band, const std::string& notice);

// What is well, quietly, with a tick.
void draw_quiet_notice(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& band,
                       const std::string& notice);

}  // namespace app
