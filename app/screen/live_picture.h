// The camera's picture on the screen, with what was found drawn on it.
#pragma once

#include <SDL.h>

#include <opencv2/core.hpp>
#include <vector>

#include "app/screen/canvas.h"
#include "app/screen/picture_region.h"
#include "app/screen/text.h"
#include "vision/reading.h"
#include "vision/station.h"

namespace app {

class LivePicture {
 public:
  LivePicture() = default;
  ~LivePicture();
  LivePicture(const LivePicture&) = delete;
  LivePicture& operator=(const LivePicture&) = delete;

  // Scales the frame's part into the texture; the pixels are not kept. grey: 8 bit, one channel.
  void upload(SDL_Renderer* renderer, const cv::Mat& grey, const PictureRegion& region);
  // The picture alone, where it was laid.
  void draw(Canvas& canvas) const;
  // The same picture into another place, until new pixels come.
  void lay_into(const SDL_FRect& area) { region_ = laid_into(region_, area); }
  bool empty() const { return texture_ == nullptr; }
  const PictureRegion& region() const { return region_; }
  void textures_lost();

 private:
  SDL_Texture* texture_ = nullptr;
  cv::Size texture_size_;
  PictureRegion region_;
  cv::Mat small_, turned_;  // kept between frames
};

// Ring, notches with north named, stickers, board marks; from the sticker's cross to the hoop's centre an arrow.
// Drawn inside the region's rectangle.
void draw_overlay(Canvas& canvas, Text& text, const Scale& scale, const PictureRegion& region,
                  const vision::Station& station, const vision::Hoop& hoop, const vision::FrameResult& result);

// The ring as it was set, which the cloth hides: thin and pale.
void draw_kept_ring(Canvas& canvas, const Scale& scale, const PictureRegion& region,
                    const std::vector<cv::Point2d>& inner_px, const std::vector<cv::Point2d>& outer_px);

}  // namespace app
