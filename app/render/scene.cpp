#include "app/render/scene.h"

#include <cmath>

namespace app {
namespace {

cv::Matx33d turn(int axis, double angle_rad) {
  const double c = std::cos(angle_rad), s = std::sin(angle_rad);
  switch (axis) {
    case 0:
      return {1, 0, 0, 0, c, -s, 0, s, c};
    case 1:
      return {c, 0, s, 0, 1, 0, -s, 0, c};
    default:
      return {c, -s, 0, s, c, 0, 0, 0, 1};
  }
}

}  // namespace

vision::CameraPose camera_from_board(const CameraPlace& place) {
  const cv::Matx33d looking_down(1, 0, 0, 0, -1, 0, 0, 0, -1);
  vision::CameraPose pose;
  pose.rotation = turn(0, place.tilt_x_deg * vision::kRadPerDeg) * turn(1, place.tilt_y_deg * vision::kRadPerDeg) *
                  looking_down * turn(2, place.roll_deg * vision::kRadPerDeg);
  pose.translation_mm = -(pose.rotation * cv::Vec3d(place.x_mm, place.y_mm, place.height_mm));
  return pose;
}

std::vector<ClothLine> stitched_box(cv::Size2d size_mm, const vision::Pose2& cloth_from_box, double albedo) {
  const double x = size_mm.width / 2.0, y = size_mm.height / 2.0;
  const auto side = [&](cv::Point2d middle, double angle_rad, double length_mm) {
    ClothLine line;
    line.kind = ClothLine::Kind::stitches;
    line.cloth_from_line = vision::compose(cloth_from_box, {middle, angle_rad});
    line.length_mm = length_mm;
    line.width_mm = 0.45;
    line.albedo = albedo;
    return line;
  };
  constexpr double kQuarter = vision::kPi / 2.0;
  return {side({0.0, -y}, 0.0, size_mm.width), side({x, 0.0}, kQuarter, size_mm.height),
          side({0.0, y}, 2.0 * kQuarter, size_mm.width), side({-x, 0.0}, 3.0 * kQuarter, size_mm.height)};
}

std::optional<TrueReading> true_reading(const Scene& scene) {
  if (scene.ring.state != RingState::pressed || scene.stickers.empty()) return std::nullopt;
  const vision::Pose2 hoop_from_sticker =
      vision::compose(vision::inverse(scene.ring.board_from_hoop), scene.stickers.front().board_from_sticker);
  return TrueReading{hoop_from_sticker.origin_mm.x, hoop_from_sticker.origin_mm.y,
                     hoop_from_sticker.angle_rad * vision::kDegPerRad};
}

}  // namespace app
