// A plane over the board as seen from straight above, on an even grid of millimetres, and how edge-like each place is.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/camera.h"
#include "vision/reading.h"

namespace calib {

// Row 0 is furthest from the operator: board y falls row by row.
struct FlatPicture {
  cv::Mat1b grey;
  // Edges: the gradient's direction (x to the right, y away from the operator), as long as the edge is sure, 0 to 1.
  // Of all, and of what is left when lines thinner than about 3 mm are filled in: a grid, grain, scratches.
  cv::Mat2f edges, edges_of_areas;
  double mm_per_px = 0.0;
  cv::Point2d first_mm;  // board place of the middle of pixel (0, 0)

  cv::Point2d pixel(cv::Point2d p_in_board) const {
    return {(p_in_board.x - first_mm.x) / mm_per_px, (first_mm.y - p_in_board.y) / mm_per_px};
  }
};

// `ignored`: tags lying on the board; their edges are left out.
FlatPicture flat_picture(const cv::Mat& grey, const vision::Lens& lens, const vision::CameraPose& camera_from_board,
                         double height_mm, const std::vector<vision::SeenTag>& ignored);

}  // namespace calib
