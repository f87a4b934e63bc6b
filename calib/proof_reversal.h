// The station's error and the sheet's, told apart by turning the sheet: reversal.
//
// After the reversal method of dimensional metrology (Evans, Hocken, Estler, "Self-calibration: reversal, redundancy,
// error separation, and absolute testing", CIRP Annals 45(2), 1996; from memory).
//
// Offset. A sticker lies at n in the ring by design and at n + e on this sheet: e is the sheet's own error and turns
// with it. The station sees the vector from ring to sticker wrong by b, fixed in the board's frame. With the sheet at
// angle t on the board the reading is, in the sheet's frame,
//     m(t) = n + e + R(-t) b.
// Of d = m - n upright (t0) and turned (t1):
//     d0 - d1 = (R(-t0) - R(-t1)) b,      e = d0 - R(-t0) b.
// For t1 = t0 + 180 deg this is b = R(t0) (d0 - d1) / 2 and e = (d0 + d1) / 2.
//
// What half a turn cannot tell. Let the station's error be a field f over the board and the sticker lie at r from the
// ring's middle, in board axes. b is f at the sticker less f at the ring. The part of f that is linear, J r (a wrong
// scale, a stretch, a shear, a turn of the picture), changes its sign when the sheet turns, as r does: it looks just
// like a sheet that was printed so, and stands in e. What is even in r (a shift, uneven light, curvature of the field)
// is the station's. So the best linear part of e over the five stickers is what sheet and station share ("shared").
// What is left of e is the sheet's alone: a station does not know which way the sheet lies, except through this
// ring's own picture (its double notch is always at its north), which says nothing about other hoops.
//
// Angle. A turn of the sheet leaves angles as they are: m = n + e + b whichever way it lies. The half sum is what sheet
// and station share, on the mean over the stickers; how single stickers differ from that mean is the sheet's. The half
// difference is the part of the station's error that is odd in r, as of a curved field; the mean over the stickers of
// that should be zero, and its scatter counts.
//
// A linear error turns a sticker by the same angle wherever it is, and a pure stretch not at all, as its four tags are
// spread alike both ways; were one tag left out, stretch would show as an angle that goes with twice the sticker's own
// angle. Sticker 97 is turned by a quarter, so that this would show in it with the other sign.
#pragma once

#include <vector>

#include "calib/proof_readings.h"

namespace calib {

// Of one frame: mm, mm, degrees.
struct ProofDeviation {
  cv::Point2d offset_mm;
  double rotation_deg = 0.0;
};

// What was read less what was designed, sheet frame.
ProofDeviation deviation(const ProofFrame& frame, std::size_t sticker, double print_scale);

// One place at which the sheet was measured both ways, a value for each sticker.
struct ReversedPlace {
  cv::Point2d middle_mm;                                             // board frame
  std::array<cv::Point2d, kProofStickerCount> station_mm, sheet_mm;  // board frame; sheet frame
  std::array<double, kProofStickerCount> station_deg{}, shared_deg{};
  std::array<int, 2> frames{};
};

// Of the places that have both. Means over the frames are taken first.
std::vector<ReversedPlace> reverse(const std::vector<ProofPlace>& places, double print_scale);

// An error that grows with the place p in the ring: J p. scale, stretch and shear are mm for each mm.
struct LinearError {
  cv::Matx22d matrix = cv::Matx22d::zeros();
  double scale() const { return 0.5 * (matrix(0, 0) + matrix(1, 1)); }
  double stretch() const { return 0.5 * (matrix(0, 0) - matrix(1, 1)); }  // along x, and as much shorter along y
  double shear() const { return 0.5 * (matrix(0, 1) + matrix(1, 0)); }
  double turn_deg() const { return 0.5 * (matrix(1, 0) - matrix(0, 1)) * vision::kDegPerRad; }
  cv::Point2d at(cv::Point2d p) const {
    return {matrix(0, 0) * p.x + matrix(0, 1) * p.y, matrix(1, 0) * p.x + matrix(1, 1) * p.y};
  }
};

// Least squares of error = constant + J place; the constant is dropped.
LinearError linear_part(const std::array<cv::Point2d, kProofStickerCount>& errors_mm,
                        const std::array<cv::Point2d, kProofStickerCount>& places_mm);

}  // namespace calib
