// What a set-up step runs on: the camera, a folder of pictures, or the rendered step.
#pragma once

#include <memory>
#include <string>

#include "app/live_options.h"
#include "app/setup/run_live.h"
#include "app/source/frame_source.h"

namespace app {

struct StepSource {
  std::unique_ptr<FrameSource> source;  // null: there is no camera, and nothing else was asked for
  std::string notice;                   // for the screen, when this is no live camera
};

// Throws OptionError, std::runtime_error when a camera or a folder cannot be used. A named camera that is missing is
// such a fault.
StepSource open_step_source(const LiveOptions& options, cv::Size frame_size, const RenderedStep& rendered);

// The rendered step, with the notice that says so.
StepSource rendered_step_source(const RenderedStep& rendered, bool camera_missing);

}  // namespace app
