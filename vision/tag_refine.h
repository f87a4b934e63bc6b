// The corners of a tag to sub-pixel, as crossings of its four sides fitted in undistorted coordinates.
#pragma once

#include <opencv2/core.hpp>
#include <optional>

#include "vision/reading.h"
#include "vision/tag_quads.h"
#include "vision/tag_side.h"

namespace vision {

class TagRefiner {
 public:
  explicit TagRefiner(const Lens& lens) : lens_(lens) {}

  // The tag `id` (0..586) whose corners are known to about half a pixel, in the order of SeenTag.
  // Nothing where a side is mostly covered or does not settle: a tag is refused rather than shifted.
  std::optional<SeenTag> refine(const cv::Mat& grey, const Quad& corners_px, int id);

 private:
  bool fit_sides(const cv::Mat& grey, int id, SideFitter::Effort effort);
  bool move_corners();
  void grow(double px);
  double blur_px() const;
  bool acceptable() const;
  double corner_sigma_px() const;

  Lens lens_;
  SideFitter fitter_;
  std::array<cv::Point2d, 4> corners_;  // normalised
  Quad corners_px_;
  std::array<SideFit, 4> sides_;
  cv::Matx22d normalised_per_px_;  // at the tag's centre
  double bend_ = 0.0;              // see SideFitter::Known
  double furthest_px_ = 0.0;       // that an end of a side moved in the last round
};

}  // namespace vision
