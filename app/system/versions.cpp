#include "app/system/versions.h"

#include <SDL.h>
#include <SDL_ttf.h>
#include <libcamera/camera_manager.h>

#include <opencv2/core.hpp>

namespace app {
namespace {

std::string dotted(const SDL_version& v) {
  return std::to_string(v.major) + '.' + std::to_string(v.minor) + '.' + std::to_string(v.patch);
}

}  // namespace

std::vector<std::pair<std::string, std::string>> library_versions() {
  SDL_version sdl{};
  SDL_GetVersion(&sdl);
  const SDL_version* ttf = TTF_Linked_Version();
  return {{"hoopgauge", HOOPGAUGE_VERSION},
          {"OpenCV", cv::getVersionString()},
          {"SDL", dotted(sdl)},
          {"SDL_ttf", ttf != nullptr ? dotted(*ttf) : ""},
          {"libcamera", libcamera::CameraManager::version()}};
}

}  // namespace app
