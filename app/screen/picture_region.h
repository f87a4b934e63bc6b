// Which part of the frame the live picture shows and which way up: the board and the hoop, as the operator sees them.
#pragma once

#include <SDL.h>

#include <opencv2/core.hpp>

#include "vision/reading.h"
#include "vision/station.h"

namespace app {

// A crop of the frame, turned by quarter turns and laid into a rectangle of the screen.
struct PictureRegion {
  cv::Rect crop;          // px of the frame, inside it
  int quarter_turns = 0;  // clockwise, 0..3
  SDL_Rect screen{};      // px of the output; the crop fills it

  // Screen point (continuous, px) of an image point (px, centre of the top-left pixel is (0, 0)).
  SDL_FPoint to_screen(cv::Point2d image_px) const;
  // Its inverse, also outside the rectangle.
  cv::Point2d to_image(SDL_FPoint at) const;
};

// The largest picture inside `area` of the part of the frame around `wanted` (grown to the area's shape, as far as the
// frame reaches).
PictureRegion fit_region(cv::Size frame, cv::Rect2d wanted, int quarter_turns, const SDL_FRect& area);

// The same part of the frame, as large as it fits into another area.
PictureRegion laid_into(PictureRegion region, const SDL_FRect& area);

// Chooses the part: the board's marks as surveyed, and the hoop. Steady: it changes only when the wanted part has moved
// by a twentieth of its size, or the camera's turn by well over half a quarter.
class RegionChooser {
 public:
  void update(const vision::Station& station, const vision::FrameResult& result);
  cv::Rect2d wanted(cv::Size frame) const;
  int quarter_turns() const { return quarter_turns_; }

 private:
  cv::Rect2d wanted_;
  int quarter_turns_ = 0;
};

}  // namespace app
