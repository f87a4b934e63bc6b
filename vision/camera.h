// The pinhole camera with Brown-Conrady distortion, and its pose over the board.
//
// Pixel convention of the whole project: the centre of the top-left pixel is (0, 0).
// Camera frame: x right and y down in the picture, z along the view, mm.
// Board frame: mm, origin at the board's centre, x to the operator's right, y away from the operator, z up to the
// camera.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <optional>

namespace vision {

// Intrinsic parameters in pixels; distortion = k1, k2, p1, p2, k3 in OpenCV's order.
struct Lens {
  int width_px = 0;
  int height_px = 0;
  double fx = 0.0, fy = 0.0, cx = 0.0, cy = 0.0;
  std::array<double, 5> distortion{};
  // Of (fx, fy, cx, cy, k1, k2, p1, p2, k3), where the calibration gave one.
  std::optional<cv::Matx<double, 9, 9>> covariance;
};

// Image point (px) of a point in the camera frame. Precondition: z > 0.
cv::Point2d project(const Lens& lens, const cv::Vec3d& p_in_camera);

// Normalised image coordinates (x/z, y/z) after the lens's distortion, and its inverse.
// The inverse iterates to 1e-12; outside the field where the model is one-to-one it returns NaN.
cv::Point2d distort(const Lens& lens, cv::Point2d normalised);
cv::Point2d undistort(const Lens& lens, cv::Point2d image_px);

// p_in_camera = rotation * p_in_board + translation_mm.
struct CameraPose {
  cv::Matx33d rotation = cv::Matx33d::eye();
  cv::Vec3d translation_mm{0.0, 0.0, 0.0};
  // Of a small change (rotation vector rad in the camera frame, applied on the left; then translation mm).
  cv::Matx66d covariance = cv::Matx66d::zeros();
};

// Image point (px) of a point in the board frame (mm, z up).
cv::Point2d image_from_board(const Lens& lens, const CameraPose& camera_from_board, const cv::Vec3d& p_in_board);

// The point (x, y) in the board frame where the ray of an image point cuts the plane z = height_mm.
// NaN where the ray does not meet that plane in front of the camera.
cv::Point2d board_at_height(const Lens& lens, const CameraPose& camera_from_board, cv::Point2d image_px,
                            double height_mm);
// The same for a point already undistorted to normalised coordinates.
cv::Point2d board_at_height_normalised(const CameraPose& camera_from_board, cv::Point2d normalised, double height_mm);

}  // namespace vision
