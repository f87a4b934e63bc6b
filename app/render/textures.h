// Flat pictures of cloth and board, linear light, from which the frames are drawn.
#pragma once

#include <opencv2/core.hpp>

#include "app/render/scene.h"

namespace app {

// A picture that lies centred on a frame's origin, its top row at the highest y.
struct Texture {
  cv::Mat1w light;  // kWhite = albedo 1
  double mm_per_px = 0.3;
};

Texture cloth_texture(const Cloth& cloth);
// As it is drawn: whole pixels of the texture.
cv::Size2d drawn_size_mm(const Cloth& cloth);
Texture board_texture(const Board& board);

}  // namespace app
