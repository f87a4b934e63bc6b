// Readings of one piece lying still, averaged.
#pragma once

#include <optional>

#include "vision/reading.h"

namespace app {

// The mean of n readings. Only the part of the uncertainty that is noise shrinks, as 1 / n; what all of them share
// (lens, board, heights, print) stays. The noise of consecutive frames is taken as independent.
class ReadingAverage {
 public:
  void add(const vision::Reading& reading);
  void forget() { *this = {}; }
  int count() const { return count_; }
  // Nothing before the first reading.
  std::optional<vision::Reading> mean() const;

 private:
  int count_ = 0;
  vision::Reading first_;
  // Sums of differences from the first: angles cannot wrap, digits are not lost.
  double x_mm_ = 0.0, y_mm_ = 0.0, rotation_deg_ = 0.0;
  vision::Covariance3 shared_ = vision::Covariance3::zeros();
  vision::Covariance3 noise_ = vision::Covariance3::zeros();
};

}  // namespace app
