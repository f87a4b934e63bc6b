#include "calib/lens_jacobian.h"

#include <opencv2/calib3d.hpp>

namespace calib {

bool lens_jacobian(const vision::Lens& lens, const vision::CameraPose& pose, cv::Point2d p_in_sheet,
                   LensJacobian& out) {
  const cv::Vec3d turned = pose.rotation * cv::Vec3d(p_in_sheet.x, p_in_sheet.y, 0.0);
  const cv::Vec3d p = turned + pose.translation_mm;
  if (!(p[2] > 1e-6 * cv::norm(p))) return false;
  const double x = p[0] / p[2], y = p[1] / p[2], r2 = x * x + y * y, r4 = r2 * r2, r6 = r4 * r2;
  const auto& [k1, k2, p1, p2, k3] = lens.distortion;
  const double radial = 1.0 + r2 * (k1 + r2 * (k2 + r2 * k3));
  const double slope = 2.0 * (k1 + r2 * (2.0 * k2 + r2 * 3.0 * k3));
  const double xd = x * radial + 2.0 * p1 * x * y + p2 * (r2 + 2.0 * x * x);
  const double yd = y * radial + p1 * (r2 + 2.0 * y * y) + 2.0 * p2 * x * y;
  out.image_px = {lens.fx * xd + lens.cx, lens.fy * yd + lens.cy};
  out.by_lens = {xd,
                 0.0,
                 1.0,
                 0.0,
                 lens.fx * x * r2,
                 lens.fx * x * r4,
                 lens.fx * 2.0 * x * y,
                 lens.fx * (r2 + 2.0 * x * x),
                 lens.fx * x * r6,
                 0.0,
                 yd,
                 0.0,
                 1.0,
                 lens.fy * y * r2,
                 lens.fy * y * r4,
                 lens.fy * (r2 + 2.0 * y * y),
                 lens.fy * 2.0 * x * y,
                 lens.fy * y * r6};
  const double jxx = radial + x * x * slope + 2.0 * p1 * y + 6.0 * p2 * x;
  const double jxy = x * y * slope + 2.0 * p1 * x + 2.0 * p2 * y;
  const double jyy = radial + y * y * slope + 6.0 * p1 * y + 2.0 * p2 * x;
  const cv::Matx22d by_normalised(lens.fx * jxx, lens.fx * jxy, lens.fy * jxy, lens.fy * jyy);
  const cv::Matx<double, 2, 3> normalised_by_point(1.0 / p[2], 0.0, -x / p[2], 0.0, 1.0 / p[2], -y / p[2]);
  const cv::Matx<double, 2, 3> by_point = by_normalised * normalised_by_point;
  const cv::Matx33d point_by_turn(0.0, turned[2], -turned[1], -turned[2], 0.0, turned[0], turned[1], -turned[0], 0.0);
  const cv::Matx<double, 2, 3> by_turn = by_point * point_by_turn;
  for (int row = 0; row < 2; ++row)
    for (int column = 0; column < 3; ++column) {
      out.by_pose(row, column) = by_turn(row, column);
      out.by_pose(row, column + 3) = by_point(row, column);
    }
  return true;
}

vision::CameraPose moved(const vision::CameraPose& pose, const cv::Vec6d& change) {
  cv::Matx33d turn;
  cv::Rodrigues(cv::Vec3d(change[0], change[1], change[2]), turn);
  vision::CameraPose out = pose;
  out.rotation = turn * pose.rotation;
  out.translation_mm += cv::Vec3d(change[3], change[4], change[5]);
  return out;
}

}  // namespace calib
