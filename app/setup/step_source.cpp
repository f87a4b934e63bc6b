#include "app/setup/step_source.h"

#include <spdlog/spdlog.h>

#include <stdexcept>

#include "app/source/camera_source.h"
#include "app/source/folder_source.h"
#include "app/source/live_camera.h"
#include "app/source/open_source.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr double kFolderPeriod_s = 1.0;  // a picture of a folder stays this long

}  // namespace

StepSource rendered_step_source(const RenderedStep& rendered, bool camera_missing) {
  if (!rendered) throw OptionError("this step has no rendered station: connect a camera, or play --frames DIR");
  return {rendered(), camera_missing ? noop("No camera found: this is the rendered station, for show only")
                                     : noop("This is the rendered station, for show only")};
}

StepSource open_step_source(const LiveOptions& options, cv::Size frame_size, const RenderedStep& rendered) {
  if (options.rendered && options.frames_dir) throw OptionError("--rendered and --frames exclude each other: drop one");
  if (options.frames_dir) {
    return {std::make_unique<FolderSource>(*options.frames_dir, frame_size, kFolderPeriod_s,
                                           [](const std::string& detail) { spdlog::warn("{}", detail); }),
            noop("No camera: these are pictures of a folder")};
  }
  if (options.rendered) return rendered_step_source(rendered, false);
  if (Cameras().list().empty()) {
    if (options.camera) throw std::runtime_error("no camera found: check its cable");
    return {};
  }
  CameraWish wish;
  wish.name = options.camera;
  wish.size = frame_size;
  return {live_camera(std::move(wish)), {}};
}

}  // namespace app
