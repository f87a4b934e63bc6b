#include "app/screen/colour_picture.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>
#include <string>

#include "app/screen/text.h"

namespace app {

ColourPicture::~ColourPicture() { textures_lost(); }

void ColourPicture::textures_lost() {
  if (texture_ != nullptr) SDL_DestroyTexture(texture_);
  texture_ = nullptr;
}

void ColourPicture::set(const cv::Mat& picture) {
  textures_lost();
  picture_ = cv::Mat();
  if (picture.empty()) return;
  cv::cvtColor(picture, picture_, picture.channels() == 1 ? cv::COLOR_GRAY2BGRA : cv::COLOR_BGR2BGRA);
}

void ColourPicture::draw(Canvas& canvas, const SDL_FRect& area) {
  if (picture_.empty()) return;
  const double zoom =
      std::min(static_cast<double>(area.w) / picture_.cols, static_cast<double>(area.h) / picture_.rows);
  const cv::Size size(std::max(1, static_cast<int>(zoom * picture_.cols)),
                      std::max(1, static_cast<int>(zoom * picture_.rows)));
  if (texture_ == nullptr || size != drawn_) {
    textures_lost();
    cv::Mat scaled;
    cv::resize(picture_, scaled, size, 0.0, 0.0, zoom < 1.0 ? cv::INTER_AREA : cv::INTER_LINEAR);
    texture_ = SDL_CreateTexture(canvas.renderer(), SDL_PIXELFORMAT_ARGB8888, SDL_TEXTUREACCESS_STATIC, size.width,
                                 size.height);
    if (texture_ == nullptr) throw ScreenError(std::string("no memory for a picture: ") + SDL_GetError());
    SDL_UpdateTexture(texture_, nullptr, scaled.data, static_cast<int>(scaled.step));
    drawn_ = size;
  }
  const SDL_Rect where{static_cast<int>(area.x + (area.w - static_cast<float>(size.width)) / 2.0F),
                       static_cast<int>(area.y + (area.h - static_cast<float>(size.height)) / 2.0F), size.width,
                       size.height};
  SDL_RenderCopy(canvas.renderer(), texture_, nullptr, &where);
}

}  // namespace app
