// The window, or its stand-in in memory where there is no display. All of it belongs to the main thread.
#pragma once

#include <SDL.h>

#include <memory>
#include <mutex>
#include <opencv2/core.hpp>
#include <string>
#include <vector>

#include "app/screen/input.h"

namespace app {

struct WindowEvents {
  bool quit = false;              // closed, Escape or q
  bool closed = false;            // closed by the system; what a screen looks at that has keys of its own
  bool redraw = false;            // shown again or its size changed
  bool textures_lost = false;     // every texture must be made anew
  std::vector<InputEvent> input;  // in order
};

// Keeps hold of the display while this lives, so that one window can follow another: with nobody connected a display
// server may start anew, and refuse just then. Does nothing where there is no display.
class DisplayHold {
 public:
  DisplayHold();
  ~DisplayHold();
  DisplayHold(const DisplayHold&) = delete;
  DisplayHold& operator=(const DisplayHold&) = delete;

 private:
  bool held_ = false;
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
  // Handed over by the next poll(), after what the system has: input for a window in memory. From any thread.
  void put(const WindowEvents& events);
  // The mouse's arrow; a full screen starts without it.
  static void show_pointer(bool shown);
  // What has been drawn since the last present(), 8 bit BGR. Empty when the driver refuses.
  cv::Mat picture() const;
  void present();

 private:
  Window() = default;
  void take_event(const SDL_Event& event, WindowEvents& events);
  // px of the output for the window's own units.
  SDL_FPoint output_point(int x, int y) const;

  SDL_Window* window_ = nullptr;
  SDL_Surface* surface_ = nullptr;  // in memory only
  SDL_Renderer* renderer_ = nullptr;
  bool started_video_ = false;
  int oversampling_ = 1;
  std::mutex put_gate_;
  WindowEvents put_;
};

}  // namespace app
