// A set-up step on the screen: live picture, what to do next, how far it is, and the buttons.
#pragma once

#include <filesystem>
#include <functional>
#include <memory>

#include "app/live_options.h"
#include "app/setup/step.h"
#include "app/source/frame_source.h"

namespace app {

// Makes the rendered source of this step, used with --rendered, or where there is no camera and the person wants it so:
// what it writes is no real station's.
using RenderedStep = std::function<std::unique_ptr<FrameSource>()>;

// Feeds the step with frames until it is complete (then finish() runs and its outcome is shown), or the person ends
// it. Undo, "compute now" and "back" by touch, mouse and keys. Without a display: the same without a picture, a line
// for each new headline, and the outcome's lines. `frame_size`: px that the camera shall deliver; empty is its
// largest. The screen speaks the language of the settings beside the station file. Returns the exit code: 0 finished
// and good, 1 not finished, not good or failed, 2 for unusable options.
int run_step_live(SetupStep& step, const std::filesystem::path& station_file, const LiveOptions& options,
                  cv::Size frame_size, const RenderedStep& rendered);

}  // namespace app
