// The first steps of the tag search: a smaller picture, and where it is locally dark.
#pragma once

#include <cstdint>
#include <opencv2/core.hpp>
#include <vector>

namespace vision {

// A stretch of dark pixels in one row, both ends included.
struct DarkRun {
  std::int16_t row, first, last;
};

// Makes and keeps the smaller picture and its dark runs; buffers are reused.
class TagBinary {
 public:
  // grey: CV_8UC1, any stride, at least 16 * shrink in each direction; shrink 1..4: pixels averaged in each direction.
  void make(const cv::Mat& grey, int shrink);

  int width() const { return width_; }
  int height() const { return height_; }
  // In raster order; runs of row y are [row_starts()[y], row_starts()[y + 1]).
  const std::vector<DarkRun>& runs() const { return runs_; }
  const std::vector<int>& row_starts() const { return row_starts_; }

 private:
  void shrink_picture(const cv::Mat& grey, int shrink);
  void tile_extremes();
  void spread_extremes();
  int least_contrast();
  void tile_thresholds();
  void find_runs();
  void runs_of_row(int row);

  int width_ = 0, height_ = 0, tiles_across_ = 0, tiles_down_ = 0;
  const std::uint8_t* pixels_ = nullptr;
  std::size_t stride_ = 0;
  std::vector<std::uint8_t> small_, low_, high_, spread_low_, spread_high_, threshold_;
  std::vector<std::uint8_t> row_low_, row_high_, row_threshold_, row_dark_, row_turns_;
  std::vector<DarkRun> runs_;
  std::vector<int> row_starts_;
};

}  // namespace vision
