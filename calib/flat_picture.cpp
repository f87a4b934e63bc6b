#include "calib/flat_picture.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/plane_view.h"

namespace calib {
namespace {

constexpr double kMmPerPx = 0.6;
constexpr double kReachMm = 330.0;  // no board is larger
constexpr int kBorder = 4;          // px whose gradient the picture's edge spoils

// Left, right, near and far end of what the frame shows of the plane.
std::array<double, 4> extent(const cv::Mat& grey, const vision::PlaneView& view) {
  double left = kReachMm, right = -kReachMm, near = kReachMm, far = -kReachMm;
  for (int k = 0; k <= 8; ++k) {
    const double u = k / 8.0 * (grey.cols - 1), v = k / 8.0 * (grey.rows - 1);
    for (const cv::Point2d px :
         {cv::Point2d{u, 0.0}, cv::Point2d{u, grey.rows - 1.0}, cv::Point2d{0.0, v}, cv::Point2d{grey.cols - 1.0, v}}) {
      const cv::Point2d p = view.plane(px);
      if (!std::isfinite(p.x) || !std::isfinite(p.y)) continue;
      left = std::min(left, p.x), right = std::max(right, p.x);
      near = std::min(near, p.y), far = std::max(far, p.y);
    }
  }
  return {std::max(left, -kReachMm), std::min(right, kReachMm), std::max(near, -kReachMm), std::min(far, kReachMm)};
}

float median_of(const cv::Mat1f& values) {
  std::vector<float> some;
  for (int r = 0; r < values.rows; r += 3)
    for (int c = 0; c < values.cols; c += 3) some.push_back(values(r, c));
  if (some.empty()) return 0.0F;
  const auto middle = some.begin() + static_cast<long>(some.size() / 2);
  std::nth_element(some.begin(), middle, some.end());
  return *middle;
}

// An edge of a few times what is usual in the picture counts half.
cv::Mat2f find_edges(const cv::Mat1b& grey, const cv::Mat1b& usable) {
  cv::Mat1f smooth, gx, gy, size;
  grey.convertTo(smooth, CV_32F);
  cv::GaussianBlur(smooth, smooth, {}, 1.0);
  cv::Sobel(smooth, gx, CV_32F, 1, 0, 3, 0.125);
  cv::Sobel(smooth, gy, CV_32F, 0, 1, 3, -0.125);
  cv::magnitude(gx, gy, size);
  const float half = 2.5F * median_of(size) + 0.8F;
  cv::Mat2f edges(grey.size());
  for (int r = 0; r < edges.rows; ++r) {
    for (int c = 0; c < edges.cols; ++c) {
      const float m = usable(r, c) ? size(r, c) : 0.0F, share = m > 0.0F ? 1.0F / (m + half) : 0.0F;
      edges(r, c) = {gx(r, c) * share, gy(r, c) * share};
    }
  }
  return edges;
}

void leave_out(const FlatPicture& flat, const vision::CameraPose& pose, const std::vector<vision::SeenTag>& tags,
               cv::Mat1b& usable) {
  for (const vision::SeenTag& tag : tags) {
    std::vector<cv::Point> corners;
    cv::Point2d middle{0.0, 0.0};
    for (const cv::Point2d& n : tag.corners_normalised)
      middle += 0.25 * vision::board_at_height_normalised(pose, n, 0.0);
    for (const cv::Point2d& n : tag.corners_normalised) {
      // The white border and its edge as well: the paper is half as large again, or more.
      const cv::Point2d corner = vision::board_at_height_normalised(pose, n, 0.0);
      corners.emplace_back(flat.pixel(middle + 1.8 * (corner - middle)));
    }
    cv::fillConvexPoly(usable, corners, cv::Scalar(0));
  }
}

}  // namespace

FlatPicture flat_picture(const cv::Mat& grey, const vision::Lens& lens, const vision::CameraPose& pose,
                         double height_mm, const std::vector<vision::SeenTag>& ignored) {
  const vision::PlaneView view(lens, pose, height_mm, vision::Pose2{});
  const auto [left, right, near, far] = extent(grey, view);
  FlatPicture flat;
  flat.mm_per_px = kMmPerPx;
  flat.first_mm = {left, far};
  const int width = static_cast<int>((right - left) / kMmPerPx), height = static_cast<int>((far - near) / kMmPerPx);
  if (width < 8 * kBorder || height < 8 * kBorder) return flat;
  cv::Mat1f map_x(height, width), map_y(height, width);
  cv::Mat1b usable(height, width, uchar{1});
  for (int r = 0; r < height; ++r) {
    for (int c = 0; c < width; ++c) {
      const cv::Point2d px = view.image({left + c * kMmPerPx, far - r * kMmPerPx});
      map_x(r, c) = static_cast<float>(px.x);
      map_y(r, c) = static_cast<float>(px.y);
      if (!(px.x >= kBorder && px.y >= kBorder && px.x <= grey.cols - 1 - kBorder && px.y <= grey.rows - 1 - kBorder))
        usable(r, c) = 0;
    }
  }
  cv::Mat smooth;
  cv::GaussianBlur(grey, smooth, {}, 0.35 * kMmPerPx * view.px_per_mm({0.0, 0.0}));
  cv::remap(smooth, flat.grey, map_x, map_y, cv::INTER_LINEAR, cv::BORDER_REPLICATE);
  leave_out(flat, pose, ignored, usable);
  flat.edges = find_edges(flat.grey, usable);
  cv::Mat1b areas;
  const cv::Mat thin = cv::getStructuringElement(cv::MORPH_ELLIPSE, {5, 5});
  cv::morphologyEx(flat.grey, areas, cv::MORPH_OPEN, thin);
  cv::morphologyEx(areas, areas, cv::MORPH_CLOSE, thin);
  flat.edges_of_areas = find_edges(areas, usable);
  return flat;
}

}  // namespace calib
