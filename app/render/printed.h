// How printed paper looks from close by: the target sticker and single tags of the family 36h11.
#pragma once

#include <opencv2/core.hpp>

#include "app/sheets/sticker_geometry.h"

namespace app {

inline constexpr float kPaperAlbedo = 0.80F, kInkAlbedo = 0.035F;

// Whether there is ink at p, mm, in the sticker frame.
bool sticker_has_ink(int number, cv::Point2f p);
// Whether there is ink at p, mm from the tag's centre, x to its right and y to its top; `side_mm` is the black
// square's.
bool tag_has_ink(int id, float side_mm, cv::Point2f p);

}  // namespace app
