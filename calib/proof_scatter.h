// How far single readings of the proof scatter, and from where.
//
// A reading's error, the sheet's share taken off, is taken as
//     bias + place (either turn) + laying the sheet there (either turn its own) + sticker in it + frame,
// all but the bias random. Half differences and half sums of the two turns (proof_reversal.h) give mean squares of
// which every component is a sum with no minus sign:
//     A  of the places' means over the stickers, half differences;   B  the same, half sums
//     C  of the stickers within the places, half differences;        D  the same, half sums, the sheet's own part off
//     E  of the frames, nothing touched
//     s_R^2 = A + B + (1 - 1/S) (C + D) + (1 - 1/N) E
// with S stickers and N frames in either turn of a place. In the terms of ISO 5725: s_r = sqrt(E) is the repeatability
// standard deviation, s_R the reproducibility standard deviation where place, laying, turn and sticker change.
#pragma once

#include <array>
#include <vector>

#include "calib/proof_readings.h"
#include "calib/uncertainty.h"

namespace calib {

// [place][sticker].
using ProofTable = std::vector<std::array<double, kProofStickerCount>>;

struct ProofScatter {
  // Mean squares A to E with their degrees of freedom; those of less than two places are zero with none.
  VariancePart place_difference, place_sum, sticker_difference, sticker_sum, frame;
  double frames_a_cell = 1.0;  // harmonic mean

  double repeatability() const;    // s_r; NaN with one frame a cell
  double reproducibility() const;  // s_R; NaN with less than two places
  // Contributions to the variance of a new reading less the estimated bias, which is the mean of the half differences
  // (offsets) or of the half sums (angles); `leverage`: of a fitted linear part at the new reading's place.
  std::vector<VariancePart> of_new_reading(double leverage) const;
};

// `frame`: of the frames within the cells, pooled.
ProofScatter scatter_of(const ProofTable& half_differences, const ProofTable& half_sums, VariancePart frame,
                        double frames_a_cell);

double mean_of(const ProofTable& table);
std::array<double, kProofStickerCount> sticker_means(const ProofTable& table);
std::vector<double> place_means(const ProofTable& table);

}  // namespace calib
