// OpenCV's own ChArUco board, as it draws it and as it finds it. What differs between its versions is hidden here.
#pragma once

#include <opencv2/core.hpp>
#include <utility>
#include <vector>

#include "tests/bench/peer_tag.h"

namespace bench {

struct SeenCharuco {
  PeerTags markers;
  // Id and place as OpenCV gives it: up to half a pixel from the centre-of-pixel convention.
  std::vector<std::pair<int, cv::Point2d>> corners;
};

// The board of 9 x 7 squares of 25 mm with markers of 18 mm, DICT_5X5_100.
cv::Mat drawn_charuco(int px_per_mm);
SeenCharuco find_charuco(const cv::Mat& grey);

}  // namespace bench
