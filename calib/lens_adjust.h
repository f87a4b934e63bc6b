// The bundle adjustment of one camera over pictures of a flat sheet: lens and poses together, by weighted least
// squares.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <string>
#include <string_view>
#include <vector>

#include "vision/camera.h"

namespace calib {

// Nested distortion models, the simplest first; what a model does not have stays 0.
enum class LensModel { none, k1, k1_k2, k1_k2_p1_p2, k1_k2_p1_p2_k3 };
inline constexpr std::array<LensModel, 5> kLensModels{LensModel::none, LensModel::k1, LensModel::k1_k2,
                                                      LensModel::k1_k2_p1_p2, LensModel::k1_k2_p1_p2_k3};
std::string_view name(LensModel model);  // "k1 k2 p1 p2"

inline constexpr std::size_t kLensParameters = 9;  // fx fy cx cy k1 k2 p1 p2 k3, as in vision::Lens
std::vector<std::size_t> parameters_of(LensModel model);
double parameter(const vision::Lens& lens, std::size_t index);
void set_parameter(vision::Lens& lens, std::size_t index, double value);

// One picture of the sheet: points of its plane, and where they are seen.
struct LensPicture {
  std::string name;  // for messages
  std::vector<cv::Point2d> in_sheet_mm;
  std::vector<cv::Point2d> image_px;
  // Standard deviations of a coordinate as far as they are known; empty: not at all.
  std::vector<double> sigma_px;
};

// Lens and poses, one a picture: where an adjustment starts and ends.
struct LensAndPoses {
  vision::Lens lens;
  std::vector<vision::CameraPose> camera_from_sheet;
};

// Measured - computed, px, of a picture's points.
std::vector<cv::Point2d> residuals_px(const vision::Lens& lens, const vision::CameraPose& camera_from_sheet,
                                      const LensPicture& picture);

// Weights are 1 / variance of a coordinate, one a point, up to a common factor. False where the points do not hold the
// parameters or a point comes to lie behind the camera. `unit_covariance`, where wanted: of the nine parameters for the
// weights as they are, with zeros for what the model does not have; it takes the poses' freedom into account.
using PointWeights = std::vector<std::vector<double>>;
bool adjust(const std::vector<LensPicture>& pictures, const PointWeights& weights, LensModel model, LensAndPoses& state,
            cv::Matx<double, 9, 9>* unit_covariance = nullptr);

// The pose alone, the lens being known. False as above.
bool adjust_pose(const LensPicture& picture, const std::vector<double>& weights, const vision::Lens& lens,
                 vision::CameraPose& camera_from_sheet);

}  // namespace calib
