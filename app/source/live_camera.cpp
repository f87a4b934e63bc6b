#include "app/source/live_camera.h"

#include <utility>

#include "app/source/reopening_source.h"

namespace app {

std::unique_ptr<FrameSource> live_camera(CameraWish wish) {
  const std::string title = wish.name ? "camera " + *wish.name : "camera";
  const auto open = [wish = std::move(wish)]() mutable {
    // Looks anew each time: whatever is left of the last look may belong to a camera that is not there any more.
    OpenedCamera opened = Cameras().open(wish);
    wish.model = opened.info.model;
    wish.size = opened.size;
    return std::move(opened.source);
  };
  return std::make_unique<ReopeningSource>(open, title);
}

}  // namespace app
