// One side of a tag's black square to sub-pixel: a blurred edge between black and white, fitted to the pixels
// around it as they are, without interpolation.
#pragma once

#include <array>
#include <opencv2/core.hpp>

#include "vision/camera.h"

namespace vision {

// A straight line seen through the lens: from `start` to `end`, clockwise round the tag, so that outside is to the
// left as one goes along it.
struct SideLine {
  cv::Point2d start, end;        // normalised coordinates
  cv::Point2d start_px, end_px;  // the same through the lens
};

// What the pixels along one side say. Offsets are px along the chord's outward normal.
struct SideFit {
  double offset_start_px = 0.0, offset_end_px = 0.0;
  double sigma_start_px = 0.0, sigma_end_px = 0.0;  // standard deviations of the two, from the samples' scatter
  double blur_px = 0.0;                             // standard deviation of the edge's spread
  double contrast = 0.0;                            // grey levels, white - black
  int samples = 0;                                  // edge points that held the line
  double share = 0.0;                               // of those looked at
  double span = 0.0;                                // length that they cover, of the length looked at
};

// Keeps its buffers. One call is a few Gauss-Newton steps; the caller moves the line and calls again until it rests.
class SideFitter {
 public:
  // blur_px: where to begin, and how wide a band to look at. module_px: the width of the black ring, which bounds it.
  // False where too little of the side is in the picture or it has no contrast.
  bool fit(const cv::Mat& grey, const Lens& lens, const SideLine& line, double module_px, double blur_px, SideFit& fit);

 private:
  static constexpr int kMostSamples = 128;
  static constexpr int kMostAcross = 32;

  // A column or row of pixels across the side.
  struct Sample {
    float along = 0.0F;  // -1 at the start, 1 at the end
    float first = 0.0F;  // distance of the first pixel along the outward normal, px
    int count = 0;       // pixels
    bool usable = true;
    float weight = 1.0F;
    float offset = 0.0F;  // the edge's own place from the fitted line, px
    float misfit = 0.0F;  // root mean square of what the model leaves, grey levels
    // Normal equations of (offset, black, white, blur): upper triangle row by row, right side, sum of squares.
    std::array<float, 10> normal{};
    std::array<float, 4> right{};
    float squares = 0.0F, mass = 0.0F;
  };
  // offset and levels: value in the middle and change from there to the end; blur.
  using Model = std::array<double, 7>;

  bool gather(const cv::Mat& grey, const Lens& lens, const SideLine& line, double half_width, double margin);
  bool begin(Model& model);
  void accumulate(const Model& model);
  bool step(Model& model);
  void own_offsets(const Model& change);
  void weigh(float least_scale_px);
  void report(const Model& model, SideFit& fit) const;
  float median(int count);

  std::array<Sample, kMostSamples> samples_;
  std::array<std::array<float, kMostAcross>, kMostSamples> pixels_;
  std::array<float, kMostSamples> sorted_;
  int sample_count_ = 0, looked_at_ = 0;
  float pitch_ = 1.0F;       // distance of neighbouring pixels of a sample along the normal, signed outward
  float half_width_ = 1.0F;  // of the band, px along the normal
};

}  // namespace vision
