// A tag as another library sees it, brought to this project's conventions.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <vector>

namespace bench {

// Corners in image px (centre of the top-left pixel is (0, 0)): top-left, top-right, bottom-right, bottom-left of the
// upright tag, upright as OpenCV's predefined dictionary draws it.
struct PeerTag {
  int id = -1;
  std::array<cv::Point2d, 4> corners_px;
};
using PeerTags = std::vector<PeerTag>;

}  // namespace bench
