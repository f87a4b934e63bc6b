// The outlines of garments, each in a frame whose origin is the middle line at the height of `shoulder seam at the
// neck`, border, corner or top edge; mm, x right, y up.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "app/guides/place_guide.h"

namespace app {

struct GarmentLines {
  std::vector<std::vector<cv::Point2d>> outlines, seams;
  cv::Point2d shoulder;    // where the shoulder seam meets the neck, on the viewer's right
  double neck_y_mm = 0.0;  // the lower edge of the neck rib on the middle line
  bool upwards = false;    // places lie above the origin: towel and napkin
  double middle_from_y_mm = 0.0, middle_to_y_mm = 0.0;
};

GarmentLines garment_lines(GarmentShape shape, double width_mm);

}  // namespace app
