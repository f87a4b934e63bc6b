// Small drawings of the teach screen.
#pragma once

#include <string>

#include "app/screen/canvas.h"
#include "app/screen/text.h"
#include "app/screen/theme.h"

namespace app {

// How the rim's height is measured: the rings pressed together, empty, on the board, seen from the side; a ruler stands
// on the board beside them, and the height is from the board to the top of the rim.
void draw_rim_measure(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& area, const std::string& height);

}  // namespace app
