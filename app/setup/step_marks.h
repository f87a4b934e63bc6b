// A step's marks on the live picture. Each kind has a line, a shape and a word of its own besides its colour.
#pragma once

#include <string_view>
#include <vector>

#include "app/screen/canvas.h"
#include "app/screen/picture_region.h"
#include "app/screen/text.h"
#include "app/setup/step.h"

namespace app {

// "found", "in doubt", "bring here", "done".
std::string_view word(StepMark::Kind kind);

// Inside the region's rectangle, with the words of the kinds that are there along its lower edge.
void draw_step_marks(Canvas& canvas, Text& text, const Scale& scale, const PictureRegion& region,
                     const std::vector<StepMark>& marks);

}  // namespace app
