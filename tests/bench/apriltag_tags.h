// The tag family's reference detector, libapriltag, as a second opinion. Tests and bench only.
#pragma once

#include <cstdint>
#include <memory>
#include <opencv2/core.hpp>

#include "tests/bench/peer_tag.h"

namespace bench {

// Family 36h11, one thread, default parameters but for the decimation and the edge refinement.
class ApriltagTags {
 public:
  // decimate: quads are looked for in the picture made smaller by this factor.
  explicit ApriltagTags(float decimate, bool refine_edges = true);
  ~ApriltagTags();
  ApriltagTags(ApriltagTags&&) noexcept;

  PeerTags detect(const cv::Mat& grey) const;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

// The family as libapriltag holds it: the official picture of a tag, one pixel a module with the black border and
// without the white one (255 is white), and how many there are.
cv::Mat official_picture(int id);
int official_count();

}  // namespace bench
