// The small figures of the work view: how close to the tolerance, how sure, with which hoop.
#pragma once

#include "app/desk/desk.h"
#include "app/screen/canvas.h"
#include "app/screen/text.h"
#include "app/views/work_readout.h"

namespace app {

// `shown` may be null: then only what does not need a reading.
void draw_facts(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& area, const Desk& desk,
                const ShownReading* shown, const WithinTolerance& within);

// The five steps of the work in a line, the one in hand marked.
void draw_steps(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& area, Phase phase);

}  // namespace app
