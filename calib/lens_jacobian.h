// How a point's place in the picture changes with the lens and with the pose.
#pragma once

#include <opencv2/core.hpp>

#include "vision/camera.h"

namespace calib {

struct LensJacobian {
  cv::Point2d image_px;
  cv::Matx<double, 2, 9> by_lens;  // fx fy cx cy k1 k2 p1 p2 k3
  cv::Matx<double, 2, 6> by_pose;  // rotation vector (rad, camera frame, applied on the left), then translation (mm)
};

// p_in_sheet: in the sheet's plane, z = 0. False where it is not in front of the camera.
bool lens_jacobian(const vision::Lens& lens, const vision::CameraPose& camera_from_sheet, cv::Point2d p_in_sheet,
                   LensJacobian& out);

// The pose moved by a small change as in `by_pose`.
vision::CameraPose moved(const vision::CameraPose& pose, const cv::Vec6d& change);

}  // namespace calib
