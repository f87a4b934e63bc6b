// Where a tag's black square may be: dark patches of four sides.
#pragma once

#include <array>
#include <cstdint>
#include <opencv2/core.hpp>
#include <vector>

#include "vision/tag_binary.h"

namespace vision {

// Corners in image px, clockwise as the viewer sees them, from any corner.
using Quad = std::array<cv::Point2d, 4>;

// The search works on a picture made smaller by `shrink` in each direction; corners are good to about that many px.
class QuadSearch {
 public:
  // grey: CV_8UC1, any stride. Corners are in the pixels of `grey`. The list lives until the next search.
  const std::vector<Quad>& search(const cv::Mat& grey, int shrink);

 private:
  // A dark patch, connected over edges and corners of pixels, in px of the smaller picture.
  struct Patch {
    std::int16_t left = 0, right = 0, top = 0, bottom = 0;
    int area = 0;
    int outline = -1;  // where its rows start in left_ and right_
  };

  void join_runs();
  int root(int run);
  void measure_patches();
  void outline_patches();
  bool may_be_tag(const Patch& patch) const;
  void hull_of(const Patch& patch);
  bool quad_of_hull(Quad& quad) const;

  TagBinary binary_;
  std::vector<int> parent_;
  std::vector<Patch> patches_;  // by the run that is their root
  std::vector<int> chosen_;
  std::vector<std::int16_t> left_, right_;
  std::vector<cv::Point> chain_, hull_;
  std::vector<Quad> quads_;
};

}  // namespace vision
