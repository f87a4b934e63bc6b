// A simple drawing for a stage of the guide.
#pragma once

#include "app/guide/stages.h"
#include "app/screen/canvas.h"
#include "app/screen/text.h"

namespace app {

// Inside `area`, on a panel.
void draw_stage(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& area, StageId stage);

}  // namespace app
