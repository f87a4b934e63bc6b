#include "vision/camera.h"

#include <cmath>
#include <limits>

namespace vision {
namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

}  // namespace

// Brown (1966) as OpenCV's calib3d states it: radial k1, k2, k3, tangential p1, p2.
cv::Point2d distort(const Lens& lens, cv::Point2d n) {
  const auto& [k1, k2, p1, p2, k3] = lens.distortion;
  const double r2 = n.x * n.x + n.y * n.y;
  const double radial = 1.0 + r2 * (k1 + r2 * (k2 + r2 * k3));
  return {n.x * radial + 2.0 * p1 * n.x * n.y + p2 * (r2 + 2.0 * n.x * n.x),
          n.y * radial + p1 * (r2 + 2.0 * n.y * n.y) + 2.0 * p2 * n.x * n.y};
}

cv::Point2d project(const Lens& lens, const cv::Vec3d& p) {
  const cv::Point2d d = distort(lens, {p[0] / p[2], p[1] / p[2]});
  return {lens.fx * d.x + lens.cx, lens.fy * d.y + lens.cy};
}

// Newton's method on distort(n) = d.
cv::Point2d undistort(const Lens& lens, cv::Point2d image_px) {
  const auto& [k1, k2, p1, p2, k3] = lens.distortion;
  const cv::Point2d d{(image_px.x - lens.cx) / lens.fx, (image_px.y - lens.cy) / lens.fy};
  cv::Point2d n = d;
  for (int i = 0; i < 20; ++i) {
    const double r2 = n.x * n.x + n.y * n.y;
    const double radial = 1.0 + r2 * (k1 + r2 * (k2 + r2 * k3));
    const double slope = 2.0 * (k1 + r2 * (2.0 * k2 + r2 * 3.0 * k3));  // d radial / d r2 * 2
    const double jxx = radial + n.x * n.x * slope + 2.0 * p1 * n.y + 6.0 * p2 * n.x;
    const double jxy = n.x * n.y * slope + 2.0 * p1 * n.x + 2.0 * p2 * n.y;
    const double jyy = radial + n.y * n.y * slope + 6.0 * p1 * n.y + 2.0 * p2 * n.x;
    const double det = jxx * jyy - jxy * jxy;
    if (!(det > 0.05)) return {kNaN, kNaN};
    const cv::Point2d error = distort(lens, n) - d;
    const cv::Point2d step{(jyy * error.x - jxy * error.y) / det, (jxx * error.y - jxy * error.x) / det};
    n -= step;
    if (std::abs(step.x) + std::abs(step.y) < 1e-13) return n;
  }
  const cv::Point2d error = distort(lens, n) - d;
  return std::abs(error.x) + std::abs(error.y) < 1e-9 ? n : cv::Point2d{kNaN, kNaN};
}

cv::Point2d image_from_board(const Lens& lens, const CameraPose& pose, const cv::Vec3d& p_in_board) {
  return project(lens, pose.rotation * p_in_board + pose.translation_mm);
}

cv::Point2d board_at_height_normalised(const CameraPose& pose, cv::Point2d n, double height_mm) {
  const cv::Matx33d board_from_camera = pose.rotation.t();
  const cv::Vec3d centre = -(board_from_camera * pose.translation_mm);
  const cv::Vec3d ray = board_from_camera * cv::Vec3d(n.x, n.y, 1.0);
  const double along = (height_mm - centre[2]) / ray[2];
  if (!(along > 0.0)) return {kNaN, kNaN};
  return {centre[0] + along * ray[0], centre[1] + along * ray[1]};
}

cv::Point2d board_at_height(const Lens& lens, const CameraPose& pose, cv::Point2d image_px, double height_mm) {
  return board_at_height_normalised(pose, undistort(lens, image_px), height_mm);
}

}  // namespace vision
