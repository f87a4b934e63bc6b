#include "calib/camera_place.h"

#include <algorithm>
#include <cmath>
#include <sstream>

#include "vision/geometry.h"

namespace calib {
namespace {

const cv::Matx33d kLookingDown(1, 0, 0, 0, -1, 0, 0, 0, -1);

cv::Matx33d about_x(double angle_rad) {
  const double c = std::cos(angle_rad), s = std::sin(angle_rad);
  return {1, 0, 0, 0, c, -s, 0, s, c};
}
cv::Matx33d about_y(double angle_rad) {
  const double c = std::cos(angle_rad), s = std::sin(angle_rad);
  return {c, 0, s, 0, 1, 0, -s, 0, c};
}
cv::Matx33d about_z(double angle_rad) {
  const double c = std::cos(angle_rad), s = std::sin(angle_rad);
  return {c, -s, 0, s, c, 0, 0, 0, 1};
}

}  // namespace

// rotation = about_x(a) about_y(b) D about_z(c), with D looking straight down, so that
// rotation D = about_x(a) about_y(b) about_z(-c).
CameraPlace camera_place(const vision::CameraPose& pose) {
  const cv::Matx33d m = pose.rotation * kLookingDown;
  const cv::Vec3d centre = -(pose.rotation.t() * pose.translation_mm);
  return {centre[0],
          centre[1],
          centre[2],
          std::atan2(-m(1, 2), m(2, 2)) * vision::kDegPerRad,
          std::asin(std::clamp(m(0, 2), -1.0, 1.0)) * vision::kDegPerRad,
          std::atan2(m(0, 1), m(0, 0)) * vision::kDegPerRad};
}

vision::CameraPose camera_from_board(const CameraPlace& place) {
  vision::CameraPose pose;
  pose.rotation = about_x(place.tilt_x_deg * vision::kRadPerDeg) * about_y(place.tilt_y_deg * vision::kRadPerDeg) *
                  kLookingDown * about_z(place.roll_deg * vision::kRadPerDeg);
  pose.translation_mm = -(pose.rotation * cv::Vec3d(place.x_mm, place.y_mm, place.height_mm));
  return pose;
}

vision::CameraPose read_camera_place(const Section& section) {
  section.allow_only({"x_mm", "y_mm", "height_mm", "tilt_x_deg", "tilt_y_deg", "roll_deg"});
  CameraPlace place;
  place.x_mm = section.number("x_mm", {-5000.0, 5000.0}, "x_mm = 4.0, the point of the board below the camera");
  place.y_mm = section.number("y_mm", {-5000.0, 5000.0}, "y_mm = -6.0, the point of the board below the camera");
  place.height_mm = section.number("height_mm", {50.0, 10000.0}, "height_mm = 655.0");
  place.tilt_x_deg = section.number("tilt_x_deg", {-89.0, 89.0}, "tilt_x_deg = 0.7");
  place.tilt_y_deg = section.number("tilt_y_deg", {-89.0, 89.0}, "tilt_y_deg = -0.5");
  place.roll_deg = section.number("roll_deg", {-360.0, 360.0}, "roll_deg = 0.4");
  return camera_from_board(place);
}

std::string camera_place_text(const vision::CameraPose& pose) {
  const CameraPlace place = camera_place(pose);
  std::ostringstream out;
  out << "\n# where the camera hung when the board was surveyed, board frame\n[camera_place]"
      << "\nx_mm = " << toml_number(place.x_mm) << "\ny_mm = " << toml_number(place.y_mm)
      << "\nheight_mm = " << toml_number(place.height_mm) << "\ntilt_x_deg = " << toml_number(place.tilt_x_deg)
      << "\ntilt_y_deg = " << toml_number(place.tilt_y_deg) << "\nroll_deg = " << toml_number(place.roll_deg) << "\n";
  return std::move(out).str();
}

}  // namespace calib
