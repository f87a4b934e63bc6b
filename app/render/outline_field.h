// Signed distances to the two outlines of a ring, tabulated in the hoop frame and interpolated.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

namespace app {

// Distances in mm, positive inside the ring's material, with their gradients.
struct OutlineDistances {
  float inner = 0.0F, outer = 0.0F;
  cv::Point2f inner_gradient, outer_gradient;
};

class OutlineField {
 public:
  // Outlines in mm, closed without repeating the first point, either sense. Throws std::invalid_argument for fewer
  // than three points or values that are not finite.
  OutlineField(const std::vector<cv::Point2d>& inner_mm, const std::vector<cv::Point2d>& outer_mm);

  // Beyond the table's edge the nearest entry counts.
  OutlineDistances at(cv::Point2f p_in_hoop) const;
  const cv::Rect2d& extent_mm() const { return extent_mm_; }

 private:
  cv::Rect2d extent_mm_;
  cv::Mat2f table_;  // inner, outer
};

// Distance from p to the closed polygon, positive inside.
double signed_distance(const std::vector<cv::Point2d>& polygon, cv::Point2d p);

}  // namespace app
