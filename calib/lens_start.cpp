#include "calib/lens_start.h"

#include <cmath>
#include <opencv2/calib3d.hpp>

namespace calib {
namespace {

// Points on a line, or as good as, hold no homography.
bool spread_out(const std::vector<cv::Point2d>& points) {
  constexpr double kLeastWidth = 0.02;  // of the length
  cv::Point2d centre;
  for (const cv::Point2d& p : points) centre += p / static_cast<double>(points.size());
  double xx = 0.0, xy = 0.0, yy = 0.0;
  for (const cv::Point2d& p : points) {
    const cv::Point2d d = p - centre;
    xx += d.x * d.x;
    xy += d.x * d.y;
    yy += d.y * d.y;
  }
  const double mean = 0.5 * (xx + yy), half = std::hypot(0.5 * (xx - yy), xy);
  return mean - half > kLeastWidth * kLeastWidth * (mean + half);
}

// normalised-from-sheet: the columns are r1, r2 and t up to a scale.
std::optional<cv::Matx33d> homography(const std::vector<cv::Point2d>& in_sheet, const std::vector<cv::Point2d>& seen) {
  if (in_sheet.size() < 4 || in_sheet.size() != seen.size()) return std::nullopt;
  if (!spread_out(in_sheet) || !spread_out(seen)) return std::nullopt;
  const cv::Mat found = cv::findHomography(in_sheet, seen);
  if (found.empty() || !cv::checkRange(found)) return std::nullopt;
  const cv::Matx33d h(found);
  if (!(std::abs(cv::determinant(h)) > 1e-30)) return std::nullopt;
  return h;
}

// With the axis at (0, 0): h1' W h2 = 0 and h1' W h1 = h2' W h2 for W = diag(1/f2, 1/f2, 1), linear in 1/f2.
class FocalLength {
 public:
  void add(cv::Matx33d h) {
    h *= 1.0 / std::sqrt(h(0, 0) * h(0, 0) + h(1, 0) * h(1, 0) + h(0, 1) * h(0, 1) + h(1, 1) * h(1, 1));
    add_equation(h(0, 0) * h(0, 1) + h(1, 0) * h(1, 1), h(2, 0) * h(2, 1));
    add_equation(0.5 * (h(0, 0) * h(0, 0) + h(1, 0) * h(1, 0) - h(0, 1) * h(0, 1) - h(1, 1) * h(1, 1)),
                 0.5 * (h(2, 0) * h(2, 0) - h(2, 1) * h(2, 1)));
  }
  // `otherwise` where the pictures say nothing or nonsense.
  double value(double otherwise) const {
    const double inverse_square = right_ / matrix_, focal = 1.0 / std::sqrt(inverse_square);
    return focal > 0.2 * otherwise && focal < 10.0 * otherwise ? focal : otherwise;
  }

 private:
  // in_plane / f2 + along = 0, weighted so that f2 is what is uncertain.
  void add_equation(double in_plane, double along) {
    matrix_ += in_plane * in_plane;
    right_ -= in_plane * along;
  }
  double matrix_ = 0.0, right_ = 0.0;
};

vision::CameraPose pose_of(const cv::Matx33d& h) {
  const cv::Vec3d h1(h(0, 0), h(1, 0), h(2, 0)), h2(h(0, 1), h(1, 1), h(2, 1)), h3(h(0, 2), h(1, 2), h(2, 2));
  const double scale = (h3[2] < 0.0 ? -2.0 : 2.0) / (cv::norm(h1) + cv::norm(h2));
  const cv::Vec3d r1 = h1 * scale, r2 = h2 * scale, r3 = r1.cross(r2);
  cv::Mat w, u, vt;
  cv::SVD::compute(cv::Mat(cv::Matx33d(r1[0], r2[0], r3[0], r1[1], r2[1], r3[1], r1[2], r2[2], r3[2])), w, u, vt);
  vision::CameraPose pose;
  pose.rotation = cv::Matx33d(cv::Mat(u * vt));
  pose.translation_mm = h3 * scale;
  return pose;
}

}  // namespace

std::optional<vision::CameraPose> pose_start(const LensPicture& picture, const vision::Lens& lens) {
  std::vector<cv::Point2d> in_sheet, normalised;
  for (std::size_t i = 0; i < picture.image_px.size(); ++i) {
    const cv::Point2d n = vision::undistort(lens, picture.image_px[i]);
    if (!std::isfinite(n.x)) continue;
    normalised.push_back(n);
    in_sheet.push_back(picture.in_sheet_mm[i]);
  }
  const std::optional<cv::Matx33d> h = homography(in_sheet, normalised);
  if (!h) return std::nullopt;
  return pose_of(*h);
}

std::optional<LensAndPoses> lens_start(const std::vector<LensPicture>& pictures, cv::Size size_px) {
  LensAndPoses state;
  vision::Lens& lens = state.lens;
  lens.width_px = size_px.width;
  lens.height_px = size_px.height;
  lens.cx = 0.5 * (size_px.width - 1);
  lens.cy = 0.5 * (size_px.height - 1);
  FocalLength focal;
  for (const LensPicture& picture : pictures) {
    std::vector<cv::Point2d> from_axis;
    for (const cv::Point2d& p : picture.image_px) from_axis.emplace_back(p.x - lens.cx, p.y - lens.cy);
    const std::optional<cv::Matx33d> h = homography(picture.in_sheet_mm, from_axis);
    if (!h) return std::nullopt;
    focal.add(*h);
  }
  lens.fx = lens.fy = focal.value(std::max(size_px.width, size_px.height));
  for (const LensPicture& picture : pictures) {
    const std::optional<vision::CameraPose> pose = pose_start(picture, lens);
    if (!pose) return std::nullopt;
    state.camera_from_sheet.push_back(*pose);
  }
  return state;
}

}  // namespace calib
