// The target sticker's pose on the cloth from the tags that were seen of it.
#pragma once

#include <array>
#include <vector>

#include "vision/camera.h"
#include "vision/geometry.h"
#include "vision/reading.h"

namespace vision {

inline constexpr int kStickerCount = 100;            // numbers 0..99, tags 4n..4n+3
inline constexpr double kStickerTagSizeMm = 12.0;    // black square
inline constexpr double kStickerTagOffsetMm = 12.5;  // tag centres at (+-12.5, +-12.5)
inline constexpr double kStickerHalfMm = 22.0;       // half the paper's side

// -1 when the tag is not a sticker's.
inline int sticker_number(int tag_id) { return tag_id >= 0 && tag_id < 4 * kStickerCount ? tag_id / 4 : -1; }

// The corners of a sticker's tag in the sticker frame, mm: top-left, top-right, bottom-right, bottom-left.
std::array<cv::Point2d, 4> sticker_tag_corners(int tag_id, double print_scale);

enum class StickerFault { none, too_few_tags, not_flat };

struct StickerPose {
  StickerFault fault = StickerFault::too_few_tags;
  Pose2 board_from_sticker;
  Covariance3 covariance =
      Covariance3::zeros();  // of (x mm, y mm, angle rad), the turn about the cross; noise and unflatness
  double rms_mm = 0.0;       // of the corners in use
  double swell_mm = 0.0;     // how far the black squares' sides lie outside of where they were printed
  double scale = 1.0;        // seen size over printed size: tells a wrong height or a wrong print scale
  std::vector<int> used;     // indices into the given tags
};

struct StickerOptions {
  double flat_limit_mm = 0.25;  // rms of the corners above which the paper is not flat: no reading
  double drop_limit_mm = 0.08;  // rms above which one tag that spoils the others is looked for and left out
  double scale_limit = 0.02;    // larger: not lying at the cloth's height
};

// Rigid least squares in mm at cloth height over the corners of all tags of one sticker, two to four of them.
// The covariance takes the larger of the tags' own sigma and what the residuals show, tag by tag, since curl and
// creases move all corners of a tag together.
StickerPose sticker_pose(const std::vector<SeenTag>& tags_of_one_sticker, const Lens& lens,
                         const CameraPose& camera_from_board, double cloth_height_mm, double print_scale,
                         const StickerOptions& options = {});

}  // namespace vision
