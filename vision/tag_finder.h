// Finds tags of the family 36h11 in a frame and refines their corners to sub-pixel.
#pragma once

#include <array>
#include <memory>
#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "vision/camera.h"
#include "vision/reading.h"

namespace vision {

// A finder keeps its buffers, so that a warm one allocates nothing. Not for use by two threads at once.
class TagFinder {
 public:
  explicit TagFinder(const Lens& lens);
  ~TagFinder();
  TagFinder(TagFinder&&) noexcept;
  TagFinder& operator=(TagFinder&&) noexcept;

  // All tags in `region` of the frame (the whole frame when empty). A tag that is seen twice is listed twice.
  // `coarser`: the search, not what it finds, at so many times a lower resolution: for tags so many times larger.
  const std::vector<SeenTag>& find(const cv::Mat& grey, cv::Rect region = {}, int coarser = 1);

  // The tag `id` with its corners within a few pixels of `expected_px`: the code is checked, the corners are
  // refined. Nothing when it is not there. This is the fast path: no search.
  std::optional<SeenTag> find_near(const cv::Mat& grey, int id, const std::array<cv::Point2d, 4>& expected_px);

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace vision
