// The pixels along one side of a tag's black square, as they are, and what is known of them beforehand.
#pragma once

#include <array>
#include <cstdint>
#include <opencv2/core.hpp>

#include "vision/camera.h"

namespace vision {

// A straight line seen through the lens: from `start` to `end`, clockwise round the tag, so that outside is to the
// left as one goes along it.
struct SideLine {
  cv::Point2d start, end;            // normalised coordinates
  cv::Point2d start_px, end_px;      // the same through the lens
  double module_px = 0.0;            // width of the black ring
  std::array<bool, 6> white_inside;  // the bits behind the ring, from start to end
};

// Columns (or rows) of pixels across the side, each a sample of the edge; distances are px along the chord's outward
// normal. Laid out so that neighbouring samples lie side by side.
class SideBand {
 public:
  static constexpr int kMostSamples = 128;
  static constexpr int kMostAcross = 32;
  using Row = std::array<float, kMostSamples>;

  // blur_px: standard deviation of the edge's spread, as far as known. Takes at most `most_samples` evenly spaced
  // columns. False where too little of the side is in the picture.
  bool gather(const cv::Mat& grey, const Lens& lens, const SideLine& line, double blur_px, int most_samples);

  int samples = 0;                           // those in the picture
  int looked_at = 0;                         // those that there would be
  int across = 0;                            // pixels of a sample
  float pitch = 1.0F;                        // distance from one pixel of a sample to the next
  float module = 1.0F;                       // width of the black ring
  float innermost = 0.0F, outermost = 0.0F;  // distances between which pixels count
  Row along;                                 // place of a sample, -1 at the start of the side, 1 at its end
  Row first;                                 // distance of a sample's first pixel
  std::array<Row, kMostAcross> level;        // grey levels
  // How white a pixel is, 0..1, by blur from the bits behind the ring and from round the corners; and how that grows
  // when the side moves outward and when the blur grows, per px.
  std::array<Row, kMostAcross> leak, leak_by_offset, leak_by_blur;

 private:
  void find_leaks(const SideLine& line, double length, double foot_per_distance, double blur_px);
};

// The blurred step: how much of an edge's far side is seen at z standard deviations beyond it, and its slope there.
struct BlurredStep {
  float value, slope;
};
BlurredStep blurred_step(float z);

}  // namespace vision
