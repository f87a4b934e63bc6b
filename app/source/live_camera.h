// The station's camera for as long as the program runs: opened when it is there, and again when it was lost.
#pragma once

#include <memory>

#include "app/source/camera_source.h"
#include "app/source/frame_source.h"

namespace app {

// Nothing is opened yet: next() does, and says what is wrong while it cannot. Once a camera was opened, only one of the
// same model and picture size comes in its place: the lens that was calibrated is that one's.
std::unique_ptr<FrameSource> live_camera(CameraWish wish);

}  // namespace app
