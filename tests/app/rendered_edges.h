// Where an edge appears in a rendered frame, and where OpenCV's projectPoints expects it. Edges are located by the
// light that their profile holds, so that the answer doesn't depend on how the edge is drawn.
#pragma once

#include <cmath>
#include <opencv2/calib3d.hpp>
#include <vector>

#include "app/render/demo_station.h"
#include "app/render/renderer.h"

namespace app {

inline vision::Station without_marks() {
  vision::Station station = demo_station();
  station.board_marks.clear();
  return station;
}

// No noise, no blur, picture values proportional to light, a lamp straight above.
inline Scene bare_scene() {
  Scene scene;
  CameraPlace place = demo_camera_place();
  place.tilt_x_deg = 2.0, place.tilt_y_deg = -1.5, place.roll_deg = 3.0;
  scene.camera_from_board = camera_from_board(place);
  scene.board.albedo = 0.0, scene.board.table_albedo = 0.0;
  scene.cloth.reset();
  scene.ring.state = RingState::none;
  scene.light = {0.0, 90.0, 0.0, 1.0, 1.0, 0.0, 0.0};
  scene.optics.blur_sigma_px = 0.0;
  scene.sensor = {1e12, 0.0, 1.0, 0};
  return scene;
}

inline cv::Point2d projected(const Renderer& renderer, const Scene& scene, cv::Point3d p) {
  const vision::Lens& lens = renderer.station().lens;
  cv::Vec3d rotation;
  cv::Rodrigues(scene.camera_from_board.rotation, rotation);
  std::vector<cv::Point2d> seen;
  cv::projectPoints(std::vector<cv::Point3d>{p}, rotation, scene.camera_from_board.translation_mm,
                    cv::Matx33d(lens.fx, 0, lens.cx, 0, lens.fy, lens.cy, 0, 0, 1),
                    std::vector<double>(lens.distortion.begin(), lens.distortion.end()), seen);
  return seen[0];
}

inline double sampled(const cv::Mat1b& picture, cv::Point2d p) {
  const int x = static_cast<int>(std::floor(p.x)), y = static_cast<int>(std::floor(p.y));
  const double fx = p.x - x, fy = p.y - y;
  return (picture(y, x) * (1 - fx) + picture(y, x + 1) * fx) * (1 - fy) +
         (picture(y + 1, x) * (1 - fx) + picture(y + 1, x + 1) * fx) * fy;
}

// How far, px, the step between `from` (dark or bright) and `to` lies beyond the middle between them.
inline double step_beyond_middle(const cv::Mat1b& picture, cv::Point2d from, cv::Point2d to) {
  constexpr int kSamples = 400;
  const double first = sampled(picture, from), last = sampled(picture, to);
  double share = 0.0;
  for (int i = 0; i < kSamples; ++i)
    share += (sampled(picture, from + (to - from) * ((i + 0.5) / kSamples)) - last) / (first - last) / kSamples;
  return (share - 0.5) * std::hypot(to.x - from.x, to.y - from.y);
}

}  // namespace app
