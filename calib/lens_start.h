// Where the adjustment of a lens starts: a focal length and poses in closed form, without distortion.
#pragma once

#include <optional>

#include "calib/lens_adjust.h"

namespace calib {

// From what the sheet's homographies say of the image of the absolute conic (Z. Zhang, IEEE TPAMI 22(11), 2000), with
// square pixels and the axis in the picture's middle; where the sheet was never tilted, a common focal length.
// Nothing where a picture has no homography (fewer than four points, or all on a line).
std::optional<LensAndPoses> lens_start(const std::vector<LensPicture>& pictures, cv::Size size_px);

// The pose of one sheet before a lens that is known, from the same homography.
std::optional<vision::CameraPose> pose_start(const LensPicture& picture, const vision::Lens& lens);

}  // namespace calib
