// A still picture in colour, kept on the screen.
#pragma once

#include <SDL.h>

#include <opencv2/core.hpp>

#include "app/screen/canvas.h"

namespace app {

class ColourPicture {
 public:
  ColourPicture() = default;
  ~ColourPicture();
  ColourPicture(const ColourPicture&) = delete;
  ColourPicture& operator=(const ColourPicture&) = delete;

  // 8 bit BGR or grey; empty takes the picture away.
  void set(const cv::Mat& picture);
  bool empty() const { return picture_.empty(); }
  // As large as it fits into the area, in its middle. Throws ScreenError.
  void draw(Canvas& canvas, const SDL_FRect& area);
  void textures_lost();

 private:
  cv::Mat picture_;  // BGRA
  cv::Size drawn_;
  SDL_Texture* texture_ = nullptr;
};

}  // namespace app
