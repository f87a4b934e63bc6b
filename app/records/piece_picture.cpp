#include "app/records/piece_picture.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

namespace app {
namespace {

// Tried from the finest; a frame full of noise takes the last.
constexpr int kQualities[]{80, 60, 40, 20};

}  // namespace

std::vector<unsigned char> small_jpeg(const cv::Mat& grey) {
  if (grey.empty()) return {};
  cv::Mat small = grey;
  if (grey.cols > kLargestPicture_px) {
    const double share = static_cast<double>(kLargestPicture_px) / grey.cols;
    const int height = std::max(1, static_cast<int>(std::lround(share * grey.rows)));
    cv::resize(grey, small, {kLargestPicture_px, height}, 0.0, 0.0, cv::INTER_AREA);
  }
  std::vector<unsigned char> out;
  for (const int quality : kQualities)
    if (cv::imencode(".jpg", small, out, {cv::IMWRITE_JPEG_QUALITY, quality}) && out.size() <= kLargestPicture_bytes)
      return out;
  return {};
}

}  // namespace app
