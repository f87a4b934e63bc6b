#include "tests/reference/synthetic_tag.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

namespace reference {
namespace {

constexpr double kWhite = 220.0, kBlack = 30.0;
constexpr int kSamples = 16;

double grey_at(const cv::Mat& modules, double u, double v) {
  const int column = static_cast<int>(std::floor(u)), row = static_cast<int>(std::floor(v));
  if (column < 0 || row < 0 || column >= modules.cols || row >= modules.rows) return kWhite;
  return modules.at<uchar>(row, column) != 0 ? kWhite : kBlack;
}

}  // namespace

void paint_tag(const cv::Mat& modules, const std::array<cv::Point2d, 4>& corners_px, cv::Mat& picture) {
  const auto n = static_cast<float>(modules.cols);
  const std::array<cv::Point2f, 4> in_tag{cv::Point2f{0, 0}, {n, 0}, {n, n}, {0, n}};
  std::array<cv::Point2f, 4> in_image;
  std::copy(corners_px.begin(), corners_px.end(), in_image.begin());
  const cv::Matx33d tag_from_image = cv::getPerspectiveTransform(in_image.data(), in_tag.data());
  const cv::Rect box = cv::boundingRect(std::vector<cv::Point2f>(in_image.begin(), in_image.end()));
  const int border = box.width / 4;
  const cv::Rect around =
      (box + cv::Size(2 * border, 2 * border) - cv::Point(border, border)) & cv::Rect({}, picture.size());
  for (int y = around.y; y < around.br().y; ++y) {
    for (int x = around.x; x < around.br().x; ++x) {
      double sum = 0.0;
      for (int s = 0; s < kSamples * kSamples; ++s) {
        const double px = x - 0.5 + (s % kSamples + 0.5) / kSamples, py = y - 0.5 + (s / kSamples + 0.5) / kSamples;
        const cv::Vec3d q = tag_from_image * cv::Vec3d(px, py, 1.0);
        sum += grey_at(modules, q[0] / q[2], q[1] / q[2]);
      }
      picture.at<uchar>(y, x) = static_cast<uchar>(std::lround(sum / (kSamples * kSamples)));
    }
  }
}

std::array<cv::Point2d, 4> square_px(cv::Point2d centre, double side, double angle_deg) {
  const double rad = angle_deg * CV_PI / 180.0, c = std::cos(rad), s = std::sin(rad);
  std::array<cv::Point2d, 4> corners{cv::Point2d{-1, -1}, {1, -1}, {1, 1}, {-1, 1}};
  for (cv::Point2d& p : corners) {
    p *= 0.5 * side;
    p = centre + cv::Point2d{c * p.x + s * p.y, -s * p.x + c * p.y};  // the image's y points down
  }
  return corners;
}

}  // namespace reference
