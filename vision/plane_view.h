// A plane parallel to the board as the camera sees it: the rim of a hoop, the face of the cloth.
#pragma once

#include <opencv2/core.hpp>

#include "vision/camera.h"
#include "vision/geometry.h"

namespace vision {

// Maps points of a planar frame (a hoop's, a sticker's) that lies at height_mm over the board into the image.
class PlaneView {
 public:
  PlaneView(const Lens& lens, const CameraPose& camera_from_board, double height_mm, const Pose2& board_from_plane);

  // Image point (px) of a point in the planar frame (mm).
  cv::Point2d image(cv::Point2d p_in_plane) const;
  // Point in the planar frame (mm) of an image point; NaN where the ray misses the plane.
  cv::Point2d plane(cv::Point2d image_px) const;
  cv::Point2d plane_from_normalised(cv::Point2d normalised) const;
  // Pixels a millimetre at a point of the planar frame (geometric mean over directions).
  double px_per_mm(cv::Point2d p_in_plane) const;

 private:
  Lens lens_;
  cv::Matx33d normalised_from_plane_;
  cv::Matx33d plane_from_normalised_;
};

}  // namespace vision
