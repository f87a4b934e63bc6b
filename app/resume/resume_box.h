// Back onto stitches by the basting box itself, as it is seen in the picture: no sticker is wanted.
#pragma once

#include <string>

#include "app/resume/resume.h"
#include "vision/stitched_rectangle.h"

namespace app {

// Where the design lies by its basting box, whose middle is the design's centre. A box looks the same turned by half a
// turn: of both the one with the design's top nearer to the hoop's north is taken, or the other with `other_way_up`.
// A square one looks the same turned by a quarter: nothing is said then (`too_few`), nor where no box was found.
// `points` has no entries; the misfit is half of what the worse side is too long or too short.
ResumeAnswer resume_by_box(const vision::StitchedRectangle& box, const Design& design, double margin_mm,
                           bool other_way_up, const ResumeOptions& options = {});

// Why there is no answer by the box, in the language of the screen; empty where there is one.
std::string box_trouble(const vision::StitchedRectangle& box);

}  // namespace app
