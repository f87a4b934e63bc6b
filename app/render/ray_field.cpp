#include "app/render/ray_field.h"

#include <algorithm>
#include <cmath>

namespace app {
namespace {

// A ray outside the lens's field meets no surface: far off, so that nothing is drawn there.
constexpr double kNowhere = 1e3;
constexpr int kStep = 4;

}  // namespace

RayField::RayField(const vision::Lens& lens) : lens_(lens) {
  // Undistorted at every fourth pixel and interpolated between: the lens bends so little over 4 px that the error
  // is about 1e-7 of the distance to the board.
  const int rows = (lens.height_px - 1) / kStep + 2, columns = (lens.width_px - 1) / kStep + 2;
  cv::Mat2d nodes(rows, columns);
  for (int y = 0; y < rows; ++y) {
    for (int x = 0; x < columns; ++x) {
      const cv::Point2d n = vision::undistort(lens, {static_cast<double>(x * kStep), static_cast<double>(y * kStep)});
      nodes(y, x) = std::isfinite(n.x) && std::isfinite(n.y) ? cv::Vec2d(n.x, n.y) : cv::Vec2d(kNowhere, kNowhere);
    }
  }
  normal_x_.create(lens.height_px, lens.width_px);
  normal_y_.create(lens.height_px, lens.width_px);
  for (int y = 0; y < lens.height_px; ++y) {
    for (int x = 0; x < lens.width_px; ++x) {
      const int nx = x / kStep, ny = y / kStep;
      const double fx = static_cast<double>(x % kStep) / kStep, fy = static_cast<double>(y % kStep) / kStep;
      const cv::Vec2d above = nodes(ny, nx) * (1.0 - fx) + nodes(ny, nx + 1) * fx;
      const cv::Vec2d below = nodes(ny + 1, nx) * (1.0 - fx) + nodes(ny + 1, nx + 1) * fx;
      const cv::Vec2d n = above * (1.0 - fy) + below * fy;
      normal_x_(y, x) = static_cast<float>(n[0]);
      normal_y_(y, x) = static_cast<float>(n[1]);
    }
  }
  slope_x_.create(normal_x_.size());
  slope_y_.create(normal_x_.size());
  aim(vision::CameraPose{cv::Matx33d(1, 0, 0, 0, -1, 0, 0, 0, -1), {0.0, 0.0, 650.0}, {}});
}

void RayField::aim(const vision::CameraPose& camera_from_board) {
  pose_ = camera_from_board;
  const cv::Matx33d turn = camera_from_board.rotation.t();
  camera_mm_ = -(turn * camera_from_board.translation_mm);
  const cv::Matx33f r = turn;
  for (int y = 0; y < slope_x_.rows; ++y) {
    const float *nx = normal_x_[y], *ny = normal_y_[y];
    float *sx = slope_x_[y], *sy = slope_y_[y];
    for (int x = 0; x < slope_x_.cols; ++x) {
      const float over_z = 1.0F / (r(2, 0) * nx[x] + r(2, 1) * ny[x] + r(2, 2));
      sx[x] = (r(0, 0) * nx[x] + r(0, 1) * ny[x] + r(0, 2)) * over_z;
      sy[x] = (r(1, 0) * nx[x] + r(1, 1) * ny[x] + r(1, 2)) * over_z;
    }
  }
}

// p_in_plane = turn(-angle) * (camera + (height - camera_z) * slope - origin), as one linear map of the slope.
RayField::Plane::Plane(const RayField& rays, const vision::Pose2& board_from_plane, double height_mm) : rays_(rays) {
  const double c = std::cos(board_from_plane.angle_rad), s = std::sin(board_from_plane.angle_rad);
  const double down = height_mm - rays.camera_mm_[2];
  xx_ = static_cast<float>(c * down);
  xy_ = static_cast<float>(s * down);
  const cv::Point2d foot = vision::apply_inverse(board_from_plane, {rays.camera_mm_[0], rays.camera_mm_[1]});
  x0_ = static_cast<float>(foot.x);
  y0_ = static_cast<float>(foot.y);
  cos_ = static_cast<float>(c);
  sin_ = static_cast<float>(s);
}

PlanePoint RayField::Plane::point(int x, int y) const {
  const cv::Mat1f &sx = rays_.slope_x_, &sy = rays_.slope_y_;
  const int left = std::max(x - 1, 0), right = std::min(x + 1, sx.cols - 1);
  const int above = std::max(y - 1, 0), below = std::min(y + 1, sx.rows - 1);
  const float across = 1.0F / static_cast<float>(right - left), down = 1.0F / static_cast<float>(below - above);
  PlanePoint point;
  point.p = at(x, y);
  point.per_x = turned((sx(y, right) - sx(y, left)) * across, (sy(y, right) - sy(y, left)) * across);
  point.per_y = turned((sx(below, x) - sx(above, x)) * down, (sy(below, x) - sy(above, x)) * down);
  point.slope = {cos_ * sx(y, x) + sin_ * sy(y, x), -sin_ * sx(y, x) + cos_ * sy(y, x)};
  return point;
}

cv::Rect RayField::bounds(const std::vector<cv::Point2d>& points, const vision::Pose2& board_from_plane, double low_mm,
                          double high_mm, int margin_px) const {
  double x0 = 1e9, y0 = 1e9, x1 = -1e9, y1 = -1e9;
  for (const cv::Point2d& point : points) {
    const cv::Point2d p = vision::apply(board_from_plane, point);
    for (const double z : {low_mm, high_mm}) {
      const cv::Point2d px = vision::image_from_board(lens_, pose_, {p.x, p.y, z});
      x0 = std::min(x0, px.x), x1 = std::max(x1, px.x);
      y0 = std::min(y0, px.y), y1 = std::max(y1, px.y);
    }
  }
  if (!(x0 <= x1 && y0 <= y1)) return {};
  const auto whole = [](double v) { return static_cast<int>(std::clamp(v, -1e6, 1e6)); };
  const cv::Point from(whole(std::floor(x0)) - margin_px, whole(std::floor(y0)) - margin_px);
  const cv::Point to(whole(std::ceil(x1)) + margin_px + 1, whole(std::ceil(y1)) + margin_px + 1);
  return cv::Rect(from, to) & cv::Rect({0, 0}, size());
}

}  // namespace app
