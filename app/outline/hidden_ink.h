// Ink that covers less than half a pixel everywhere around: hair lines, the tips of sharp corners, thin paint.
#pragma once

#include "app/outline/contours.h"

namespace app {

// Makes it dark enough to have an outline, one pixel around as well, and leaves the rest as it is. What covers less
// than a sixteenth of a pixel is not seen.
void show_hidden_ink(const InkPicture& ink);

}  // namespace app
