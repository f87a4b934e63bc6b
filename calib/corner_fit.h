// A corner where two straight edges cross, to sub-pixel: the grey levels around it are fitted as they are by two
// blurred edges and the light's slope, so that no window is laid on them that could be off centre.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <optional>

namespace calib {

// The four sectors between the edges and whether they are white: [0] before both, [1] beyond v's edge along u,
// [2] beyond u's edge along v, [3] beyond both, for a corner with directions u and v.
using CornerSectors = std::array<bool, 4>;
inline constexpr CornerSectors kBlackFirst{false, true, true, false};  // of a chessboard
inline constexpr CornerSectors kWhiteFirst{true, false, false, true};

// What is known beforehand.
struct CornerGuess {
  cv::Point2d at_px;  // to about a fifth of the reach
  // The edges' directions in the picture: a point of the pattern (a, b) away lies at at_px + a * u + b * v. `reach`
  // (of a and b, in their unit): a square's half side within which there are no other edges.
  cv::Vec2d u_px, v_px;
  double reach = 1.0;
  CornerSectors white = kBlackFirst;
};

// What the fit may leave, of the contrast: root mean square of the pixels, and mean over a ninth of the window. The
// defaults allow for noise and mild sharpening; a camera that sharpens strongly needs more.
struct CornerTolerance {
  double misfit = 0.12, part_misfit = 0.10;
};

struct FittedCorner {
  cv::Point2d at_px;      // the centre of the top-left pixel is (0, 0)
  double sigma_px = 0.0;  // of a coordinate, the worse direction: the pixels' scatter about the fit and a floor
  double blur_px = 0.0;   // standard deviation of the edges' spread
  double contrast = 0.0;  // grey levels
};

// Nothing where the fit does not hold: something covers the corner, no contrast, too small, not settled, moved away
// from the guess, or the picture ends there. grey: 8 bit, one channel, any stride.
// A chessboard's corner looks the same after half a turn, so white that spreads over black, in print or through the
// camera's tone curve, does not shift it; it shifts the corner of a single black square inwards.
std::optional<FittedCorner> fit_corner(const cv::Mat& grey, const CornerGuess& guess,
                                       const CornerTolerance& tolerance = {});

}  // namespace calib
