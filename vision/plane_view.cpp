#include "vision/plane_view.h"

#include <cmath>
#include <limits>

namespace vision {

PlaneView::PlaneView(const Lens& lens, const CameraPose& pose, double height_mm, const Pose2& board_from_plane)
    : lens_(lens) {
  const double c = std::cos(board_from_plane.angle_rad), s = std::sin(board_from_plane.angle_rad);
  const cv::Matx33d board_from_plane_h(c, -s, board_from_plane.origin_mm.x,  //
                                       s, c, board_from_plane.origin_mm.y,   //
                                       0.0, 0.0, 1.0);
  const cv::Matx33d& r = pose.rotation;
  cv::Matx33d camera_from_board_h = r;
  for (int row = 0; row < 3; ++row) camera_from_board_h(row, 2) = r(row, 2) * height_mm + pose.translation_mm[row];
  normalised_from_plane_ = camera_from_board_h * board_from_plane_h;
  plane_from_normalised_ = normalised_from_plane_.inv();
}

cv::Point2d PlaneView::image(cv::Point2d p) const {
  const cv::Matx33d& h = normalised_from_plane_;
  const double w = h(2, 0) * p.x + h(2, 1) * p.y + h(2, 2);
  const cv::Point2d d =
      distort(lens_, {(h(0, 0) * p.x + h(0, 1) * p.y + h(0, 2)) / w, (h(1, 0) * p.x + h(1, 1) * p.y + h(1, 2)) / w});
  return {lens_.fx * d.x + lens_.cx, lens_.fy * d.y + lens_.cy};
}

cv::Point2d PlaneView::plane_from_normalised(cv::Point2d n) const {
  const cv::Matx33d& h = plane_from_normalised_;
  const double w = h(2, 0) * n.x + h(2, 1) * n.y + h(2, 2);
  if (!(std::abs(w) > 1e-12)) {
    constexpr double nan = std::numeric_limits<double>::quiet_NaN();
    return {nan, nan};
  }
  return {(h(0, 0) * n.x + h(0, 1) * n.y + h(0, 2)) / w, (h(1, 0) * n.x + h(1, 1) * n.y + h(1, 2)) / w};
}

cv::Point2d PlaneView::plane(cv::Point2d image_px) const { return plane_from_normalised(undistort(lens_, image_px)); }

double PlaneView::px_per_mm(cv::Point2d p) const {
  const cv::Point2d at = image(p), right = image({p.x + 1.0, p.y}), up = image({p.x, p.y + 1.0});
  return std::sqrt(std::abs((right.x - at.x) * (up.y - at.y) - (right.y - at.y) * (up.x - at.x)));
}

}  // namespace vision
