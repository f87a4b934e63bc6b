// The window, or its stand-in in memory where there is no display. All of it belongs to the main thread.
#pragma once

#include <SDL.h>

#include <memory>
#include <opencv2/core.hpp>
#include <string>

namespace app {

struct WindowEvents {
  bool quit = false;           // closed, Escape or q
  bool redraw = false;         // shown again or its size changed
  bool textures_lost = false;  // every texture must be made anew
};

class Window {
 public:
  // Full screen, or a window of `size` (1280 x 800 when empty). Accelerated where that works, else in software.
  // Null when there is no display; `why` says so in one line. Throws ScreenError when a display is there but fails.
  static std::unique_ptr<Window> open(bool full_screen, cv::Size size, std::string& why);
  // Draws into memory, in software; needs no display. Drawn at twice the size, so size() is twice `size`, and picture()
  // of `size` again.
  static std::unique_ptr<Window> in_memory(cv::Size size);

  ~Window();
  Window(const Window&) = delete;
  Window& operator=(const Window&) = delete;

  SDL_Renderer* renderer() const { return renderer_; }
  cv::Size size() const;  // px of the output
  WindowEvents poll();
  // What has been drawn since the last present(), 8 bit BGR. Empty when the driver refuses.
  cv::Mat picture() const;
  void present();

 private:
  Window() = default;

  SDL_Window* window_ = nullptr;
  SDL_Surface* surface_ = nullptr;  // in memory only
  SDL_Renderer* renderer_ = nullptr;
  bool started_video_ = false;
  int oversampling_ = 1;
};

}  // namespace app
