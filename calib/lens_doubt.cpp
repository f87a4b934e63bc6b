#include "calib/lens_doubt.h"

#include <cmath>
#include <vector>

#include "calib/lens_jacobian.h"

namespace calib {

// With error e of the lens and the pose change d that fits best, a point is off by L e + P d, so the covariance of what
// is left is that of (L - P (P'P)^-1 P'L) e.
double lens_doubt_px(const vision::Lens& lens) {
  if (!lens.covariance) return 0.0;
  constexpr int kColumns = 16, kRows = 9;
  vision::CameraPose facing;
  facing.rotation = {1, 0, 0, 0, -1, 0, 0, 0, -1};
  facing.translation_mm = {0.0, 0.0, 1.0};  // at distance 1 the plane's points are the normalised ones
  std::vector<LensJacobian> slopes;
  cv::Matx66d pose = cv::Matx66d::zeros();
  cv::Matx<double, 6, 9> pose_lens = cv::Matx<double, 6, 9>::zeros();
  for (int row = 0; row < kRows; ++row)
    for (int column = 0; column < kColumns; ++column) {
      const cv::Point2d n = vision::undistort(
          lens, {(lens.width_px - 1.0) * (column + 0.5) / kColumns, (lens.height_px - 1.0) * (row + 0.5) / kRows});
      LensJacobian j;
      if (!std::isfinite(n.x) || !lens_jacobian(lens, facing, {n.x, -n.y}, j)) continue;
      pose += j.by_pose.t() * j.by_pose;
      pose_lens += j.by_pose.t() * j.by_lens;
      slopes.push_back(j);
    }
  bool invertible = false;
  const cv::Matx66d inverse = pose.inv(cv::DECOMP_SVD, &invertible);
  if (!invertible) return 0.0;
  const cv::Matx<double, 6, 9> taken_up = inverse * pose_lens;
  double variance = 0.0;
  for (const LensJacobian& j : slopes) {
    const cv::Matx<double, 2, 9> left = j.by_lens - j.by_pose * taken_up;
    variance += cv::trace(left * *lens.covariance * left.t());
  }
  return std::sqrt(variance / (2.0 * static_cast<double>(slopes.size())));
}

}  // namespace calib
