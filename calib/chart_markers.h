// The calibration sheet's markers in a picture, whole pixels only: they tell which corner is which and about where.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <vector>

namespace calib {

struct ChartMarker {
  int id = 0;
  // Of the black square: top-left, then clockwise as the upright sheet shows it. To a pixel or two.
  std::array<cv::Point2d, 4> corners_px;
};

// grey: 8 bit, one channel, any stride. Markers that the sheet does not have are left out.
std::vector<ChartMarker> find_chart_markers(const cv::Mat& grey);

}  // namespace calib
