// Reads the 36 bits of a tag whose corners are known to about a quarter of a module.
#pragma once

#include <opencv2/core.hpp>
#include <optional>

#include "vision/tag_family.h"
#include "vision/tag_quads.h"

namespace vision {

// The plane of a tag, in modules from its first corner: (0, 0), (8, 0), (8, 8), (0, 8) are the four corners.
class TagPlane {
 public:
  explicit TagPlane(const Quad& corners_px);
  cv::Point2d image_px(double x, double y) const {
    const double w = h_[6] * x + h_[7] * y + 1.0;
    return {(h_[0] * x + h_[1] * y + h_[2]) / w, (h_[3] * x + h_[4] * y + h_[5]) / w};
  }

 private:
  std::array<double, 8> h_{};
};

// Grey level between pixels; outside the picture its edge goes on.
float level_at(const cv::Mat& grey, cv::Point2d p);

// A quick look at a quadrilateral whose corners are only good to a module or so: darker just inside than outside, and
// neither all dark nor all bright within, as a tag is and most cloth is not.
bool looks_like_tag(const cv::Mat& grey, const Quad& corners_px);

// The bits as seen with the quad's first corner as the top-left one. Nothing where there is no black ring with white
// around it, or too little contrast. Bits are judged against the black and the white around them, so light may fall
// off across the tag.
std::optional<TagWord> read_tag_word(const cv::Mat& grey, const Quad& corners_px);

}  // namespace vision
