#include "vision/picture_quality.h"

#include <algorithm>
#include <array>
#include <cstdlib>

namespace vision {
namespace {

constexpr int kStep = 5;
// Printed black is at least this far from printed white in a picture that can be read.
constexpr int kLeastContrast = 25;
constexpr int kDarkWhite = 60;
constexpr int kBrightBlack = 190;
// Across a sharp edge the grey value changes within two pixels by most of what it does within sixteen.
constexpr double kSharpShare = 0.22;

using Histogram = std::array<long, 256>;

int percentile(const Histogram& histogram, double share) {
  long total = 0, sum = 0;
  for (const long n : histogram) total += n;
  for (int v = 0; v < 256; ++v) {
    sum += histogram[static_cast<size_t>(v)];
    if (static_cast<double>(sum) >= share * static_cast<double>(total)) return v;
  }
  return 255;
}

}  // namespace

std::optional<Status> picture_fault(const cv::Mat& grey) {
  Histogram level{}, near{}, far{};
  if (grey.cols < 64 || grey.rows < 64) return std::nullopt;
  for (int y = 16; y < grey.rows - 16; y += kStep) {
    const uchar* row = grey.ptr<uchar>(y);
    for (int x = 16; x < grey.cols - 16; x += kStep) {
      ++level[row[x]];
      ++near[static_cast<size_t>(std::abs(row[x + 1] - row[x - 1]))];
      ++far[static_cast<size_t>(std::abs(row[x + 8] - row[x - 8]))];
    }
  }
  const int black = percentile(level, 0.02), white = percentile(level, 0.98);
  if (white < kDarkWhite && white - black < 2 * kLeastContrast) return Status::too_dark;
  if (black > kBrightBlack || percentile(level, 0.5) >= 252) return Status::too_bright;
  const int coarse = percentile(far, 0.995), fine = percentile(near, 0.995);
  if (coarse >= kLeastContrast && fine < kSharpShare * coarse) return Status::blurred;
  return std::nullopt;
}

}  // namespace vision
