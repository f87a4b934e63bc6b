// Invented lenses and sittings: the calibration sheet at many places and tilts, its corners projected and made noisy.
#pragma once

#include <opencv2/core.hpp>
#include <string>
#include <vector>

#include "calib/lens_fit.h"

namespace lens_sitting {

// A lens like those of a station: 50 to 75 degrees across 2304 x 1296 px, every coefficient of the model at work.
vision::Lens random_lens(cv::RNG& rng, calib::LensModel model);

// Poses that fill the picture, tilted up to 40 degrees to all sides, from 200 to 450 mm.
std::vector<vision::CameraPose> random_poses(cv::RNG& rng, const vision::Lens& lens, int count);

// The sheet as seen: corners inside the picture, normal errors of sigma_px.
std::vector<calib::LensPicture> sitting(cv::RNG& rng, const vision::Lens& lens,
                                        const std::vector<vision::CameraPose>& poses, double sigma_px);

}  // namespace lens_sitting
