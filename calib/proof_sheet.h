// The proof sheet: a printed ring with notches, and five target stickers at known places in it.
//
// Sheet frame = the hoop frame of the printed ring: mm, origin at its centre, x to the right and y to the top of the
// upright sheet. All of it lies in the paper's plane. Measured upright and turned by half a turn, the station's
// error and the sheet's separate.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <vector>

#include "vision/geometry.h"
#include "vision/station.h"

namespace calib {

struct ProofSticker {
  int number = 0;
  double x_mm = 0.0, y_mm = 0.0, angle_deg = 0.0;  // of the cross and the arrow, sheet frame
};
// One of them is turned by about a quarter, so that a stretch of the picture shows in the angles too.
inline constexpr std::array<ProofSticker, 5> kProofStickers{{
    {95, -39.0, 55.0, 8.0},
    {96, 40.0, 54.0, -12.0},
    {97, 1.5, -2.0, 94.0},
    {98, -40.0, -55.5, -3.0},
    {99, 38.5, -56.0, 14.0},
}};

// The ring is solid ink between a rounded rectangle of 140 x 170 mm and one 6 mm larger on each side.
inline constexpr double kProofInnerWidthMm = 140.0, kProofInnerHeightMm = 170.0, kProofInnerRadiusMm = 20.0;
inline constexpr double kProofRimMm = 6.0;
// Where it is cut out, so that it leaves the board marks free.
inline constexpr double kProofCutWidthMm = 164.0, kProofCutHeightMm = 194.0;
// Notches are white triangles cut into the ink from the inner outline; north has two, side by side.
inline constexpr double kProofNotchWidthMm = 3.6, kProofNotchDepthMm = 1.8, kProofNotchPitchMm = 5.3;

inline constexpr double kPaperThicknessMm = 0.1;

// The printed ring as a hoop: outlines and notches in true mm, rim and cloth at the paper's thickness.
// print_scale: true mm a printed mm.
vision::Hoop proof_hoop(double print_scale = 1.0);
// The five triangles, sheet frame, printed mm.
std::vector<std::array<cv::Point2d, 3>> proof_notches();
// Where sticker and ring should be to one another: hoop_from_sticker in true mm.
vision::Pose2 proof_pose(const ProofSticker& sticker, double print_scale = 1.0);

}  // namespace calib
