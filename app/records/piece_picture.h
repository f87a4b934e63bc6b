// A small picture of a piece as it lay when its reading was held: for a look back, not for measuring.
#pragma once

#include <cstddef>
#include <opencv2/core.hpp>
#include <string>
#include <vector>

namespace app {

struct PiecePicture {
  std::string piece;     // PieceRecord::id
  std::string time_utc;  // 2026-01-31T12:00:00Z
  std::vector<unsigned char> jpeg;
};

inline constexpr int kLargestPicture_px = 480;               // wide
inline constexpr std::size_t kLargestPicture_bytes = 65536;  // of JPEG
inline constexpr std::size_t kPicturesKept = 2000;           // the newest

// Of an 8-bit frame of one channel. Empty where it has no pixels, or cannot be made so small.
std::vector<unsigned char> small_jpeg(const cv::Mat& grey);

}  // namespace app
