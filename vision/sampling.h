// Grey values between the pixels.
#pragma once

#include <opencv2/core.hpp>

namespace vision {

inline bool inside_for_sampling(const cv::Mat& grey, double x, double y) {
  return x >= 0.0 && y >= 0.0 && x < grey.cols - 1 && y < grey.rows - 1;
}

// Bilinear; (x, y) in px with the centre of the top-left pixel at (0, 0). Precondition: inside_for_sampling.
inline float sample_bilinear(const cv::Mat& grey, double x, double y) {
  const int column = static_cast<int>(x), row = static_cast<int>(y);
  const float fx = static_cast<float>(x - column), fy = static_cast<float>(y - row);
  const uchar* upper = grey.ptr<uchar>(row) + column;
  const uchar* lower = upper + grey.step[0];
  const float top = static_cast<float>(upper[0]) + fx * static_cast<float>(upper[1] - upper[0]);
  const float bottom = static_cast<float>(lower[0]) + fx * static_cast<float>(lower[1] - lower[0]);
  return top + fy * (bottom - top);
}

}  // namespace vision
