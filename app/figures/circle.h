// Where pieces lie about the place they were meant for: mean offset, and the circle that holds 95 of 100.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <span>

#include "app/figures/univariate.h"

namespace app {

// Offsets in mm from the wanted place, in one frame.
struct OffsetScatter {
  Univariate x, y;
  cv::Point2d mean_mm;
  Interval mean_x_mm, mean_y_mm;  // of the mean, 95 %, each by itself
  // Hotelling's T-square: the probability of so large a mean where there is no bias. NaN for fewer than three.
  double no_bias_p = 1.0;
};
OffsetScatter offset_scatter(std::span<const cv::Point2d> offsets_mm);

// The circle about the wanted place that holds this share of all pieces, as far as these tell.
struct HoldingCircle {
  double radius_mm = 0.0;
  std::optional<Interval> interval;  // 95 %
  // By the pieces' own order, without a word on their curve; otherwise by a bell curve of the same mean and spread,
  // because so few pieces tell nothing of the last twentieth.
  bool by_order = false;
};
// NaN for fewer than three.
HoldingCircle holding_circle(std::span<const cv::Point2d> offsets_mm, double share = 0.95);

// The share of a two-dimensional bell curve within a circle about (0, 0).
double share_within(double radius_mm, cv::Point2d mean_mm, const cv::Matx22d& covariance_mm2);

}  // namespace app
