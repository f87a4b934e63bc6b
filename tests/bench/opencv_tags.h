// OpenCV's own tag detection: contrib's aruco up to 4.6, objdetect from 4.7. The one file that knows the difference.
#pragma once

#include <memory>
#include <opencv2/core.hpp>

#include "tests/bench/peer_tag.h"

namespace bench {

enum class TagDictionary { april_36h11, aruco_6x6_250 };

// Tags of one dictionary with CORNER_REFINE_SUBPIX and default parameters otherwise.
class OpencvTags {
 public:
  explicit OpencvTags(TagDictionary dictionary = TagDictionary::april_36h11);
  ~OpencvTags();
  OpencvTags(OpencvTags&&) noexcept;

  PeerTags detect(const cv::Mat& grey) const;

  // The tag as the dictionary draws it: one pixel a module, with its black border, no white one.
  cv::Mat drawn(int id) const;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace bench
