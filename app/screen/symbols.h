// Simple drawn symbols: what to do, whether it is done, and why there is no reading. Each fills a square of side
// 2 * radius around its centre.
#pragma once

#include <SDL.h>

#include "app/screen/canvas.h"
#include "vision/reading.h"

namespace app {

// A tick in a disc: within tolerance.
void draw_tick(Canvas& canvas, SDL_FPoint centre, float radius, Colour disc, Colour tick);
// An exclamation mark in a triangle: something to know.
void draw_notice_sign(Canvas& canvas, SDL_FPoint centre, float radius, Colour triangle, Colour mark);
// A bold arrow along (dx, dy), screen directions.
void draw_slide_sign(Canvas& canvas, SDL_FPoint centre, float radius, float dx, float dy, Colour colour);
// A bold arrow round the centre.
void draw_turn_sign(Canvas& canvas, SDL_FPoint centre, float radius, bool counter_clockwise, Colour colour);
// Why there is no reading.
void draw_reason(Canvas& canvas, SDL_FPoint centre, float radius, vision::Status status, Colour line, Colour accent);

}  // namespace app
