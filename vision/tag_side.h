// One side of a tag's black square to sub-pixel: a blurred edge between black and white, fitted to the pixels
// around it as they are, without interpolation.
#pragma once

#include <array>
#include <opencv2/core.hpp>

#include "vision/small_solve.h"
#include "vision/tag_band.h"

namespace vision {

// What the pixels along one side say. Offsets are px along the chord's outward normal.
struct SideFit {
  double offset_start_px = 0.0, offset_end_px = 0.0;
  double sigma_start_px = 0.0, sigma_end_px = 0.0;  // standard deviations of the two, from the samples' scatter
  double blur_px = 0.0;                             // standard deviation of the edge's spread
  double contrast = 0.0;                            // grey levels, white - black
  // Grey levels in the middle of the side, and their changes from there to its end.
  double black = 0.0, black_change = 0.0, white_change = 0.0;
  int samples = 0;     // edge points that held the line
  double share = 0.0;  // of those looked at
  double span = 0.0;   // length that they cover, of the length looked at
};

// Keeps its buffers. One call is a Gauss-Newton step or a few; the caller moves the line and calls again until it
// rests.
class SideFitter {
 public:
  // How much work a call is: columns of pixels looked at, looks at their grey levels, and weighings of the columns for
  // one look; their equations stay good while the line moves little.
  struct Effort {
    int most_samples = SideBand::kMostSamples;
    int looks = 1;
    int weighings = 2;
  };

  // What is known beforehand. blur_px: where to begin, and how wide a band to look at. bend: how grey levels grow with
  // light between black (0) and white (1): light + bend * light * (1 - light); 0 in proportion, about 0.6 in most
  // cameras' pictures.
  struct Known {
    double blur_px = 1.0, bend = 0.0;
  };

  // fit: what the last call for this side gave, to go on from, or as constructed.
  // False where too little of the side is in the picture or it has no contrast.
  bool fit(const cv::Mat& grey, const Lens& lens, const SideLine& line, Known known, Effort effort, SideFit& fit);

 private:
  // Quantities of a sample: offset, black, white, blur. Of the model: blur, then black, white and offset, each by
  // its value in the middle and its change from there to the end.
  using Model = std::array<double, 7>;
  using Row = SideBand::Row;
  using Sums = std::array<double, 3>;

  bool begin(const SideFit& last, Model& model);
  void accumulate(const Model& model);
  void accumulate_lanes(const Model& model, std::size_t at);
  Sums sums(const Row& row) const;
  bool solve(const Model& model, Model& change);
  void own_offsets(const Model& change);
  void weigh(float scale_px);
  float weighted_scale_px() const;
  void report(const Model& model, SideFit& fit) const;
  float typical(const Row& row);

  SideBand band_;
  float bend_ = 0.0F;
  std::array<bool, SideBand::kMostSamples> usable_;
  Row weight_;
  Row own_offset_;              // the edge's place by this sample alone, from the fitted line, px
  Row misfit_;                  // mean square of what the model leaves, grey levels squared
  std::array<Row, 10> normal_;  // normal equations of a sample's quantities: upper triangle row by row
  std::array<Row, 4> right_;
  Row squares_, mass_;
  double least_misfit_ = 0.0;  // that a sample may have however well the others fit
  Row sorted_;
  double looseness_start_ = 1.0, looseness_end_ = 1.0;  // variances of the side's ends for samples of variance 1
};

}  // namespace vision
