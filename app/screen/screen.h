// A window with what is drawn on it: canvas and text follow its size and its driver.
#pragma once

#include <filesystem>
#include <opencv2/core.hpp>

#include "app/screen/canvas.h"
#include "app/screen/text.h"
#include "app/screen/window.h"

namespace app {

class Screen {
 public:
  // The window outlives the screen.
  explicit Screen(Window& window);

  Canvas canvas;
  Text text;

  // As Window::poll; with a new size, or textures lost, text and viewport are set right and `redraw` is set.
  WindowEvents poll();
  cv::Size size() const { return window_.size(); }
  void present() { window_.present(); }
  Window& window() { return window_; }

 private:
  Window& window_;
  cv::Size size_;
};

// What was drawn since the last present(), as PNG, whole or not at all. Throws calib::FileError.
void write_picture(const Window& window, const std::filesystem::path& file);

}  // namespace app
