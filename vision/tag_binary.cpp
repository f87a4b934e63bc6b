#include "vision/tag_binary.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cstring>

namespace vision {
namespace {

// Side of a tile, px of the smaller picture. The threshold at a pixel looks at its tile and the eight around it.
constexpr int kTile = 4;
// The least difference between the brightest and the darkest pixel around, grey levels, for a place to have an edge.
constexpr int kLeastContrast = 10;
constexpr int kMostLeastContrast = 22;

std::size_t size(int n) { return static_cast<std::size_t>(n); }

void average_two(const std::uint8_t* a, const std::uint8_t* b, std::uint8_t* out, int width) {
  for (int x = 0; x < width; ++x)
    out[x] = static_cast<std::uint8_t>((a[2 * x] + a[2 * x + 1] + b[2 * x] + b[2 * x + 1] + 2) >> 2);
}

}  // namespace

void TagBinary::make(const cv::Mat& grey, int shrink) {
  CV_Assert(grey.type() == CV_8UC1 && shrink >= 1 && shrink <= 4);
  shrink_picture(grey, shrink);
  tiles_across_ = width_ / kTile;
  tiles_down_ = height_ / kTile;
  tile_extremes();
  spread_extremes();
  tile_thresholds();
  find_runs();
}

void TagBinary::shrink_picture(const cv::Mat& grey, int shrink) {
  width_ = grey.cols / shrink;
  height_ = grey.rows / shrink;
  if (shrink == 1) {
    pixels_ = grey.data;
    stride_ = grey.step[0];
    return;
  }
  small_.resize(size(width_) * size(height_));
  pixels_ = small_.data();
  stride_ = size(width_);
  for (int y = 0; y < height_; ++y) {
    std::uint8_t* out = small_.data() + size(y) * stride_;
    if (shrink == 2) {
      average_two(grey.ptr(2 * y), grey.ptr(2 * y + 1), out, width_);
      continue;
    }
    const int count = shrink * shrink;
    for (int x = 0; x < width_; ++x) {
      int sum = count / 2;
      for (int j = 0; j < shrink; ++j) {
        const std::uint8_t* in = grey.ptr(shrink * y + j) + shrink * x;
        for (int i = 0; i < shrink; ++i) sum += in[i];
      }
      out[x] = static_cast<std::uint8_t>(sum / count);
    }
  }
}

void TagBinary::tile_extremes() {
  const std::size_t tiles = size(tiles_across_) * size(tiles_down_);
  low_.resize(tiles);
  high_.resize(tiles);
  row_low_.resize(size(width_));
  row_high_.resize(size(width_));
  for (int ty = 0; ty < tiles_down_; ++ty) {
    const std::uint8_t* in = pixels_ + size(ty * kTile) * stride_;
    std::uint8_t* low = row_low_.data();
    std::uint8_t* high = row_high_.data();
    for (int x = 0; x < width_; ++x) {
      const std::uint8_t a = in[x], b = in[size(x) + stride_], c = in[size(x) + 2 * stride_],
                         d = in[size(x) + 3 * stride_];
      low[x] = std::min(std::min(a, b), std::min(c, d));
      high[x] = std::max(std::max(a, b), std::max(c, d));
    }
    std::uint8_t* tile_low = low_.data() + size(ty) * size(tiles_across_);
    std::uint8_t* tile_high = high_.data() + size(ty) * size(tiles_across_);
    for (int tx = 0; tx < tiles_across_; ++tx) {
      const std::uint8_t* l = low + tx * kTile;
      const std::uint8_t* h = high + tx * kTile;
      tile_low[tx] = std::min(std::min(l[0], l[1]), std::min(l[2], l[3]));
      tile_high[tx] = std::max(std::max(h[0], h[1]), std::max(h[2], h[3]));
    }
  }
}

// Each tile takes the extremes of the 3 x 3 tiles around it: first down the columns, then along the rows.
void TagBinary::spread_extremes() {
  const int across = tiles_across_;
  spread_low_.resize(low_.size());
  spread_high_.resize(high_.size());
  row_low_.resize(size(std::max(width_, across)));
  row_high_.resize(row_low_.size());
  for (int ty = 0; ty < tiles_down_; ++ty) {
    const std::size_t here = size(ty) * size(across);
    const std::size_t up = size(std::max(ty - 1, 0)) * size(across);
    const std::size_t down = size(std::min(ty + 1, tiles_down_ - 1)) * size(across);
    std::uint8_t* low = row_low_.data();
    std::uint8_t* high = row_high_.data();
    for (std::size_t x = 0; x < size(across); ++x) {
      low[x] = std::min(low_[here + x], std::min(low_[up + x], low_[down + x]));
      high[x] = std::max(high_[here + x], std::max(high_[up + x], high_[down + x]));
    }
    for (int x = 0; x < across; ++x) {
      const int left = std::max(x - 1, 0), right = std::min(x + 1, across - 1);
      spread_low_[here + size(x)] = std::min(low[x], std::min(low[left], low[right]));
      spread_high_[here + size(x)] = std::max(high[x], std::max(high[left], high[right]));
    }
  }
}

// Sensor noise and weave must not read as edges: a quarter of the tiles are taken to hold nothing else.
int TagBinary::least_contrast() {
  std::array<int, 256> histogram{};
  for (std::size_t i = 0; i < spread_low_.size(); ++i) ++histogram[size(spread_high_[i] - spread_low_[i])];
  const int quarter = static_cast<int>(spread_low_.size() / 4);
  int contrast = 0;
  for (int seen = histogram[0]; seen < quarter && contrast < 255; seen += histogram[size(contrast)]) ++contrast;
  return std::clamp(contrast + contrast / 4, kLeastContrast, kMostLeastContrast);
}

void TagBinary::tile_thresholds() {
  const int least = least_contrast();
  threshold_.resize(spread_low_.size());
  for (std::size_t i = 0; i < threshold_.size(); ++i) {
    const int low = spread_low_[i], high = spread_high_[i];
    threshold_[i] = static_cast<std::uint8_t>(high - low < least ? 0 : (low + high + 1) / 2);
  }
}

void TagBinary::find_runs() {
  runs_.clear();
  row_starts_.resize(size(height_) + 1);
  row_threshold_.resize(size(width_ + kTile));
  row_dark_.resize(size(width_) + 1);
  row_turns_.assign((size(width_) + 1 + 15) / 8 * 8, 0);
  for (int y = 0; y < height_; ++y) {
    row_starts_[size(y)] = static_cast<int>(runs_.size());
    if (y % kTile == 0) {
      const int ty = std::min(y / kTile, tiles_down_ - 1);
      const std::uint8_t* from = threshold_.data() + size(ty) * size(tiles_across_);
      std::uint8_t* to = row_threshold_.data();
      for (int x = 0; x < width_; x += kTile) {
        const std::uint32_t four = 0x01010101U * from[std::min(x / kTile, tiles_across_ - 1)];
        std::memcpy(to + x, &four, sizeof four);
      }
    }
    runs_of_row(y);
  }
  row_starts_[size(height_)] = static_cast<int>(runs_.size());
}

void TagBinary::runs_of_row(int row) {
  const std::uint8_t* in = pixels_ + size(row) * stride_;
  const std::uint8_t* threshold = row_threshold_.data();
  std::uint8_t* dark = row_dark_.data();
  std::uint8_t* turns = row_turns_.data();
  for (int x = 0; x < width_; ++x) dark[x] = in[x] < threshold[x] ? 1 : 0;
  dark[width_] = 0;
  turns[0] = dark[0];
  for (int x = 1; x <= width_; ++x) turns[x] = static_cast<std::uint8_t>(dark[x] ^ dark[x - 1]);
  int first = -1;  // of the run that is open
  for (int x = 0; x <= width_; x += 8) {
    std::uint64_t eight = 0;
    std::memcpy(&eight, turns + x, sizeof eight);  // byte i is pixel x + i on the little-endian machines we run on
    for (; eight != 0; eight &= eight - 1) {
      const int at = x + std::countr_zero(eight) / 8;
      if (first < 0) {
        first = at;
      } else {
        runs_.push_back(
            {static_cast<std::int16_t>(row), static_cast<std::int16_t>(first), static_cast<std::int16_t>(at - 1)});
        first = -1;
      }
    }
  }
}

}  // namespace vision
