// A ruler on the live picture: two points that a person touched, measured on the cloth or on the board.
#pragma once

#include <opencv2/core.hpp>
#include <optional>

#include "vision/camera.h"

namespace app {

struct RulerPoints {
  cv::Point2d from_px, to_px;  // image
  // How well they were pointed at, image px: standard uncertainty, each.
  double u_px = 1.0;
};

// Board frame. Uncertainties are expanded, k = 2.
struct RulerReading {
  double distance_mm = 0.0, u_distance_mm = 0.0;
  double right_mm = 0.0, away_mm = 0.0;  // from the first point to the second
  // Of the way from the first to the second, counter-clockwise from the operator's right, (-180, 180]; meaningless
  // where the points are hardly apart.
  double angle_deg = 0.0, u_angle_deg = 0.0;
};

// The plane that both lie on, and the rest that the distance depends on. Standard uncertainties.
struct RulerPlane {
  double height_mm = 0.0, u_height_mm = 0.0;
  double print_scale_u = 0.0005;  // relative
};

// Nothing where a ray misses the plane.
std::optional<RulerReading> measured_between(const vision::Lens& lens, const vision::CameraPose& camera_from_board,
                                             const RulerPoints& points, const RulerPlane& plane);

// Of the same two points over some frames: what shakes from frame to frame, the camera's place as the marks give it,
// averages out of the value. The uncertainty stays that of one frame, of which most is common to all.
class RulerAverage {
 public:
  void see(const std::optional<RulerReading>& reading);
  void forget() { *this = RulerAverage(); }
  const std::optional<RulerReading>& now() const { return mean_; }
  int frames() const { return frames_; }

 private:
  std::optional<RulerReading> mean_;
  int frames_ = 0;
};

}  // namespace app
