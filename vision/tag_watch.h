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
  // Looks for every tag of the last frame at its place, and through one stripe of the frame for new ones, so that a tag
  // laid down anywhere is found within kStripes frames. The first frame is searched whole.
  const std::vector<SeenTag>& follow(const cv::Mat& grey);
  // Looks through the whole frame. Cheap to call twice on a frame: the second call does nothing.
  const std::vector<SeenTag>& search(const cv::Mat& grey);
  // Looks for a tag at a place where it should be, and keeps it.
  bool look_at(const cv::Mat& grey, int id, const std::array<cv::Point2d, 4>& expected_px);

  const std::vector<SeenTag>& tags() const { return tags_; }
  bool searched() const { return searched_; }

  static constexpr int kStripes = 16;

 private:
  void add(const SeenTag& tag);

  TagFinder finder_;
  std::vector<SeenTag> tags_, last_;
  bool searched_ = false;
  bool first_ = true;
  int stripe_ = 0;
};

}  // namespace vision
