// The calibration sheet in a picture.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "calib/chart.h"

namespace calib {

struct ChartCorner {
  int id = 0;
  cv::Point2d image_px;   // the centre of the top-left pixel is (0, 0)
  double sigma_px = 0.1;  // standard deviation of a coordinate
};

// The sheet as one picture shows it. Few or no corners: it was not, or not wholly, seen.
struct SeenChart {
  std::vector<ChartCorner> corners;  // by id
  int markers = 0;                   // that were read; many with few corners: the picture is not sharp
  double blur_px = 0.0;              // standard deviation of the edges' spread; 0 when not known
};

// Finds the sheet and its corners to sub-pixel, without knowing the lens. grey: 8 bit, one channel, any stride.
SeenChart find_chart(const cv::Mat& grey);

}  // namespace calib
