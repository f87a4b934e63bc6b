// The printed marks that a camera reads, each around the origin of the pen's frame, upright.
#pragma once

#include "app/sheets/pen.h"

namespace app {

// Tag `id` of the family 36h11, 0 to 586; side_mm is the black square's. Its white border is the caller's.
void draw_tag(Pen& pen, int id, double side_mm);
// Target sticker, number 0 to 99, without its cut line.
void draw_sticker(Pen& pen, int number);
// The calibration sheet's pattern, chart frame.
void draw_chart(Pen& pen);
// The proof sheet's ring, notches and stickers, sheet frame, without its cut line.
void draw_proof(Pen& pen);

}  // namespace app
