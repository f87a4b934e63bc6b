// What is printed on the target sticker besides its tags (whose size and places the room vision holds): mm, sticker
// frame. The sheets draw by it, and so does the renderer.
#pragma once

#include "vision/sticker_pose.h"

namespace app {

inline constexpr double kStickerSideMm = 2.0 * vision::kStickerHalfMm;

// The cross runs to all four edges, but for a clear round place around the needle's dot.
inline constexpr double kCrossLineMm = 0.25;
inline constexpr double kClearRadiusMm = 2.0;  // to the middle of the ring's line
inline constexpr double kClearRingMm = 0.25;
inline constexpr double kNeedleDotMm = 0.8;  // diameter

// The solid arrow on the north arm.
inline constexpr double kArrowTipMm = 19.0, kArrowFootMm = 14.5, kArrowHalfWidthMm = 2.4;

// The number stands beside the south arm: its left and upper edge, and the height of a digit.
inline constexpr double kNumberLeftMm = 1.2, kNumberTopMm = -16.0, kNumberHeightMm = 2.0;

}  // namespace app
