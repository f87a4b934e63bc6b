// Which tags are in view: followed from frame to frame where they were last seen, searched for where they were not.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "vision/reading.h"
#include "vision/station.h"
#include "vision/tag_finder.h"

namespace vision {

class TagWatch {
 public:
  explicit TagWatch(const Lens& lens);

  void forget();
  // Looks for every tag of the last frame at its place, and through a part of the frame for new ones, so that a tag
  // laid down anywhere is found within kSweep frames, and a badge within kCoarseSweep. The first frame is searched
  // whole.
  const std::vector<SeenTag>& follow(const cv::Mat& grey);
  // Looks through the whole frame. Cheap to call twice on a frame: the second call does nothing.
  const std::vector<SeenTag>& search(const cv::Mat& grey);
  // Looks for a tag at a place where it should be, and keeps it.
  bool look_at(const cv::Mat& grey, int id, const std::array<cv::Point2d, 4>& expected_px);

  const std::vector<SeenTag>& tags() const { return tags_; }
  bool searched() const { return searched_; }

  static constexpr int kStripes = 16, kBands = 3;
  static constexpr int kBandEvery = 4;  // frames; the others look through a stripe
  static constexpr int kCoarseSweep = kBands * kBandEvery;
  static constexpr int kSweep = (kStripes * kBandEvery + kBandEvery - 2) / (kBandEvery - 1);

 private:
  void add(const SeenTag& tag);
  void look_for_new(const cv::Mat& grey);

  TagFinder finder_;
  std::vector<SeenTag> tags_, last_;
  bool searched_ = false;
  bool first_ = true;
  int turn_ = 0, stripe_ = 0, band_ = 0;
};

}  // namespace vision
