// Which distortion model the pictures call for, by cross-validation: how well a lens found from some pictures foretells
// the corners of the others.
#pragma once

#include "calib/lens_fit.h"

namespace calib {

struct LensChoice {
  LensModel model = LensModel::k1_k2;
  std::vector<LensModelScore> scores;  // of all models; empty where there were too few pictures to compare
};

// state: a fit of the fullest model, where the others start. The simplest model whose mean error is within the noise
// (one standard error of the paired differences, picture by picture) of the best one's.
LensChoice choose_model(const std::vector<LensPicture>& pictures, const PointWeights& weights,
                        const LensAndPoses& state);

// Whether every point of the picture belongs to one direction only.
bool is_one_to_one(const vision::Lens& lens);

}  // namespace calib
