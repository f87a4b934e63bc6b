// For every pixel the slope of its ray in the board frame, so that a pixel's point on a plane of any height costs
// two multiplications. Rays come from the full lens; pixel centres are integers.
#pragma once

#include <opencv2/core.hpp>

#include "vision/camera.h"
#include "vision/geometry.h"

namespace app {

// A pixel's point on a plane, in a frame that lies on it, and how it moves from pixel to pixel.
struct PlanePoint {
  cv::Point2f p;      // mm
  cv::Point2f per_x;  // mm for one pixel to the right
  cv::Point2f per_y;  // mm for one pixel down
  cv::Point2f slope;  // mm per mm of height, in the plane's frame: where the ray comes from
};

class RayField {
 public:
  explicit RayField(const vision::Lens& lens);
  void aim(const vision::CameraPose& camera_from_board);

  cv::Size size() const { return slope_x_.size(); }
  const cv::Vec3d& camera_mm() const { return camera_mm_; }  // the camera's centre, board frame
  const vision::Lens& lens() const { return lens_; }
  const vision::CameraPose& pose() const { return pose_; }
  // Undistorted normalised image coordinates of the pixels' centres; far off where the lens sees nothing.
  const cv::Mat1f& normal_x() const { return normal_x_; }
  const cv::Mat1f& normal_y() const { return normal_y_; }
  // d(x, y) / dz along the ray, board frame.
  const cv::Mat1f& slope_x() const { return slope_x_; }
  const cv::Mat1f& slope_y() const { return slope_y_; }

  // The point of pixel (x, y) on the plane z = height_mm, in the frame that `board_from_plane` places there.
  class Plane {
   public:
    Plane(const RayField& rays, const vision::Pose2& board_from_plane, double height_mm);
    cv::Point2f at(int x, int y) const {
      const float sx = rays_.slope_x_(y, x), sy = rays_.slope_y_(y, x);
      return {xx_ * sx + xy_ * sy + x0_, -xy_ * sx + xx_ * sy + y0_};
    }
    PlanePoint point(int x, int y) const;

   private:
    cv::Point2f turned(float sx, float sy) const { return {xx_ * sx + xy_ * sy, -xy_ * sx + xx_ * sy}; }
    const RayField& rays_;
    float xx_, xy_, x0_, y0_;
    float cos_, sin_;
  };

  // The smallest rectangle of pixels around points of a plane's frame, seen at two heights, grown by margin_px.
  cv::Rect bounds(const std::vector<cv::Point2d>& points, const vision::Pose2& board_from_plane, double low_mm,
                  double high_mm, int margin_px) const;

 private:
  vision::Lens lens_;
  cv::Mat1f normal_x_, normal_y_;
  vision::CameraPose pose_;
  cv::Vec3d camera_mm_;
  cv::Mat1f slope_x_, slope_y_;
};

}  // namespace app
