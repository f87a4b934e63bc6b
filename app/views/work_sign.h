// The signs of the work view that are not those of the readout: whether all is well, hold still, what is wanted.
#pragma once

#include "app/screen/canvas.h"
#include "app/work/work.h"
#include "app/work/work_words.h"

namespace app {

Colour mood_colour(WorkMood mood);
// Beside the headline: a tick, a notice sign, or a pointing hand's stand-in, an open ring with a dot.
void draw_mood_sign(Canvas& canvas, SDL_FPoint centre, float radius, WorkMood mood);
// A ring that closes from the top, clockwise, with share 0 to 1; in it two bars: hold.
void draw_stillness(Canvas& canvas, SDL_FPoint centre, float radius, double share);
// In place of the numbers: what the camera wants to see.
void draw_wanted(Canvas& canvas, SDL_FPoint centre, float radius, const Work& work);
// A camera crossed out.
void draw_no_picture(Canvas& canvas, SDL_FPoint centre, float radius);
// In the corner of the small picture: a touch makes it the large one.
void draw_swap_sign(Canvas& canvas, const Scale& scale, const SDL_FRect& small);

}  // namespace app
