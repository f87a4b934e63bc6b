#include "app/screen/screen.h"

#include <opencv2/imgcodecs.hpp>
#include <string>
#include <vector>

#include "calib/atomic_write.h"
#include "calib/files.h"

namespace app {

Screen::Screen(Window& window) : canvas(window.renderer()), text(window.renderer()), window_(window) {}

WindowEvents Screen::poll() {
  WindowEvents events = window_.poll();
  const cv::Size now = window_.size();
  if (events.textures_lost || now != size_) {
    text.forget();
    SDL_RenderSetViewport(window_.renderer(), nullptr);  // all of it
    events.redraw = true;
  }
  size_ = now;
  return events;
}

void write_picture(const Window& window, const std::filesystem::path& file) {
  const cv::Mat picture = window.picture();
  std::vector<unsigned char> bytes;
  if (picture.empty() || !cv::imencode(".png", picture, bytes)) {
    throw calib::FileError("the screen's picture cannot be taken: the graphics driver refuses it");
  }
  calib::write_atomically(file, std::string(bytes.begin(), bytes.end()));
}

}  // namespace app
