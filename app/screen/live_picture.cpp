#include "app/screen/live_picture.h"

#include <opencv2/imgproc.hpp>

namespace app {
namespace {

// The picture is dimmed a little, so that lines and letters stand out and white cloth does not glare in a dark room.
constexpr int kBrightest = 215;

const cv::Mat& dimming() {
  static const cv::Mat table = [] {
    cv::Mat t(1, 256, CV_8UC1);
    for (int i = 0; i < 256; ++i) t.at<unsigned char>(i) = static_cast<unsigned char>(i * kBrightest / 255);
    return t;
  }();
  return table;
}

constexpr std::array kTurns{cv::ROTATE_90_CLOCKWISE, cv::ROTATE_180, cv::ROTATE_90_COUNTERCLOCKWISE};

}  // namespace

LivePicture::~LivePicture() { textures_lost(); }

void LivePicture::textures_lost() {
  if (texture_ != nullptr) SDL_DestroyTexture(texture_);
  texture_ = nullptr;
}

void LivePicture::upload(SDL_Renderer* renderer, const cv::Mat& grey, const PictureRegion& region) {
  const cv::Size size(region.screen.w, region.screen.h);
  if (texture_ == nullptr || size != texture_size_) {
    textures_lost();
    texture_ =
        SDL_CreateTexture(renderer, SDL_PIXELFORMAT_ARGB8888, SDL_TEXTUREACCESS_STREAMING, size.width, size.height);
    texture_size_ = size;
    if (texture_ == nullptr) throw ScreenError(std::string("no memory for the live picture: ") + SDL_GetError());
  }
  region_ = region;
  const bool sideways = (region.quarter_turns & 1) != 0;
  const cv::Size before_turn = sideways ? cv::Size(size.height, size.width) : size;
  const bool shrinks = before_turn.width < region.crop.width;
  cv::resize(grey(region.crop), small_, before_turn, 0.0, 0.0, shrinks ? cv::INTER_AREA : cv::INTER_LINEAR);
  cv::LUT(small_, dimming(), small_);
  const cv::Mat* shown = &small_;
  if (region.quarter_turns != 0) {
    cv::rotate(small_, turned_, kTurns[static_cast<std::size_t>(region.quarter_turns - 1)]);
    shown = &turned_;
  }
  void* pixels = nullptr;
  int pitch = 0;
  if (SDL_LockTexture(texture_, nullptr, &pixels, &pitch) != 0) return;
  cv::Mat target(size, CV_8UC4, pixels, static_cast<std::size_t>(pitch));
  cv::cvtColor(*shown, target, cv::COLOR_GRAY2BGRA);
  SDL_UnlockTexture(texture_);
}

void LivePicture::draw(Canvas& canvas) const {
  if (texture_ != nullptr) SDL_RenderCopy(canvas.renderer(), texture_, nullptr, &region_.screen);
}

}  // namespace app
