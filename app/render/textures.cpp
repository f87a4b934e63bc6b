#include "app/render/textures.h"

#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "app/render/random.h"
#include "app/render/shading.h"

namespace app {
namespace {

constexpr double kMmPerPx = 0.3;

cv::Mat1f white_noise(cv::Size size, Random& random) {
  cv::Mat1f noise(size);
  for (int y = 0; y < size.height; ++y)
    for (int x = 0; x < size.width; ++x) {
      // Uniform bits of one draw are cheaper than a true normal and look the same once smoothed.
      const std::uint64_t bits = random.next();
      const auto part = [&](int shift) { return static_cast<float>((bits >> shift) & 0xFFFFU) / 65536.0F; };
      noise(y, x) = (part(0) + part(16) + part(32) - 1.5F) * 2.0F;
    }
  return noise;
}

// Smooth noise of unit spread whose features are about feature_mm large.
cv::Mat1f soft_noise(cv::Size size, double feature_x_mm, double feature_y_mm, Random& random) {
  const cv::Size coarse(static_cast<int>(size.width * kMmPerPx / feature_x_mm) + 4,
                        static_cast<int>(size.height * kMmPerPx / feature_y_mm) + 4);
  cv::Mat1f noise;
  cv::resize(white_noise(coarse, random), noise, size, 0.0, 0.0, cv::INTER_CUBIC);
  return noise;
}

struct Variation {
  double contrast;
  cv::Mat1f noise;
};

// Multiplies the picture by 1 plus all variations.
void vary(cv::Mat1f& picture, const std::vector<Variation>& variations) {
  cv::Mat1f factor(picture.size(), 1.0F);
  for (const Variation& variation : variations) cv::scaleAdd(variation.noise, variation.contrast, factor, factor);
  cv::multiply(picture, factor, picture);
}

cv::Mat1f plain(cv::Size size, double albedo) { return cv::Mat1f(size, static_cast<float>(albedo)); }

cv::Size pixels_of(cv::Size2d mm) {
  return {std::max(8, static_cast<int>(mm.width / kMmPerPx)), std::max(8, static_cast<int>(mm.height / kMmPerPx))};
}

void draw_bands(cv::Mat1f& picture, double pitch_mm, double share, float albedo, bool upright) {
  for (int y = 0; y < picture.rows; ++y)
    for (int x = 0; x < picture.cols; ++x) {
      const double along = (upright ? x : y) * kMmPerPx;
      if (std::fmod(along, pitch_mm) < share * pitch_mm) picture(y, x) = albedo;
    }
}

void draw_pattern(cv::Mat1f& picture, const Cloth& cloth, Random& random) {
  const float second = static_cast<float>(cloth.second_albedo);
  switch (cloth.pattern) {
    case ClothPattern::plain:
      return;
    case ClothPattern::stripes:
      draw_bands(picture, cloth.pitch_mm, 0.4, second, false);
      return;
    case ClothPattern::checks: {
      cv::Mat1f across = picture.clone();
      draw_bands(picture, cloth.pitch_mm, 0.5, second, false);
      draw_bands(across, cloth.pitch_mm, 0.5, second, true);
      cv::addWeighted(picture, 0.5, across, 0.5, 0.0, picture);
      return;
    }
    case ClothPattern::plaid: {
      cv::Mat1f across = picture.clone();
      draw_bands(picture, cloth.pitch_mm, 0.45, second, false);
      draw_bands(across, cloth.cross_pitch_mm, 0.3, second, true);
      cv::addWeighted(picture, 0.5, across, 0.5, 0.0, picture);
      return;
    }
    case ClothPattern::blobs: {
      const float third = static_cast<float>(0.5 * (cloth.albedo + cloth.second_albedo));
      picture.setTo(third, soft_noise(picture.size(), cloth.pitch_mm, cloth.pitch_mm, random) > 0.45F);
      picture.setTo(second, soft_noise(picture.size(), cloth.pitch_mm, cloth.pitch_mm, random) > 0.5F);
      return;
    }
  }
}

// A seam along the cloth's edges: a darker line some way inside.
void draw_hem(cv::Mat1f& picture) {
  constexpr int kInset = static_cast<int>(9.0 / kMmPerPx), kWidth = 4;
  const cv::Rect line(kInset, kInset, picture.cols - 2 * kInset, picture.rows - 2 * kInset);
  if (line.width <= 0 || line.height <= 0) return;
  cv::Mat1f shade(picture.size(), 1.0F);
  cv::rectangle(shade, line, cv::Scalar(0.8), kWidth);
  cv::GaussianBlur(shade, shade, {}, 1.5);
  cv::multiply(picture, shade, picture);
}

Texture finished(const cv::Mat1f& picture) {
  Texture texture;
  texture.mm_per_px = kMmPerPx;
  picture.convertTo(texture.light, CV_16U, static_cast<double>(kWhite));
  return texture;
}

}  // namespace

Texture cloth_texture(const Cloth& cloth) {
  Random random(cloth.seed);
  const cv::Size size = pixels_of(cloth.size_mm);
  cv::Mat1f picture = plain(size, cloth.albedo);
  draw_pattern(picture, cloth, random);
  cv::GaussianBlur(picture, picture, {}, 0.8);
  if (cloth.hem) draw_hem(picture);
  // Threads: streaks along both directions and a fine grain. Folds: broad, with some smaller ones among them.
  const double weave = cloth.weave, wrinkles = cloth.wrinkles;
  vary(picture, {{0.5 * weave, soft_noise(size, 12.0, 0.5, random)},
                 {0.5 * weave, soft_noise(size, 0.5, 12.0, random)},
                 {0.7 * weave, white_noise(size, random)},
                 {wrinkles, soft_noise(size, 45.0, 30.0, random)},
                 {0.4 * wrinkles, soft_noise(size, 14.0, 20.0, random)}});
  if (cloth.loops > 0.0)
    vary(picture,
         {{cloth.loops, soft_noise(size, 1.6, 2.0, random)}, {0.5 * cloth.loops, soft_noise(size, 0.8, 0.9, random)}});
  return finished(picture);
}

cv::Size2d drawn_size_mm(const Cloth& cloth) {
  const cv::Size size = pixels_of(cloth.size_mm);
  return {size.width * kMmPerPx, size.height * kMmPerPx};
}

Texture board_texture(const Board& board) {
  Random random(77);
  const cv::Size size = pixels_of(board.size_mm);
  cv::Mat1f picture = plain(size, board.albedo);
  switch (board.surface) {
    case BoardSurface::plain:
      vary(picture, {{0.02, soft_noise(size, 60.0, 60.0, random)}, {0.01, white_noise(size, random)}});
      break;
    case BoardSurface::wood:
      vary(picture, {{0.18, soft_noise(size, 120.0, 5.0, random)}, {0.10, soft_noise(size, 60.0, 1.5, random)}});
      break;
    case BoardSurface::grid:
      for (int y = 0; y < size.height; ++y)
        for (int x = 0; x < size.width; ++x) {
          const auto off = [](int at, double pitch) { return std::fmod(at * kMmPerPx, pitch); };
          if (off(x, 50.0) < 0.7 || off(y, 50.0) < 0.7)
            picture(y, x) += 0.35F;
          else if (off(x, 10.0) < 0.35 || off(y, 10.0) < 0.35)
            picture(y, x) += 0.12F;
        }
      break;
  }
  return finished(picture);
}

}  // namespace app
