// Draws flat things into the picture of light: cloth and board from their textures, printed paper from its own
// geometry. Each lies at its own height and is seen through the full lens.
#pragma once

#include <opencv2/core.hpp>

#include "app/render/ray_field.h"
#include "app/render/scene.h"
#include "app/render/textures.h"

namespace app {

// The pixels that were drawn.
cv::Rect draw_texture(const RayField& rays, const Texture& texture, const vision::Pose2& board_from_texture,
                      double height_mm, cv::Mat1w& light);

// A tag on white paper that is 1.3 times as large as the black square.
cv::Rect draw_tag(const RayField& rays, int id, double side_mm, const vision::Pose2& board_from_tag, double height_mm,
                  cv::Mat1w& light);

// `print_scale`: true mm for each printed mm.
cv::Rect draw_sticker(const RayField& rays, const StickerPlace& sticker, double cloth_height_mm, double print_scale,
                      cv::Mat1w& light);

cv::Rect draw_tape(const RayField& rays, const Tape& tape, cv::Mat1w& light);

}  // namespace app
