// A small station for tests: a lens, six board marks and a camera a little askew, all invented.
#pragma once

#include <opencv2/calib3d.hpp>

#include "vision/board_pose.h"
#include "vision/camera.h"
#include "vision/reading.h"
#include "vision/station.h"
#include "vision/sticker_pose.h"

namespace test_scene {

inline vision::Station station() {
  vision::Station s;
  s.lens.width_px = 2304;
  s.lens.height_px = 1296;
  s.lens.fx = 2250.0;
  s.lens.fy = 2252.0;
  s.lens.cx = 1150.5;
  s.lens.cy = 650.25;
  s.lens.distortion = {-0.11, 0.08, 0.0006, -0.0004, -0.02};
  const double places[6][2] = {{-185, 140}, {190, 138}, {188, -141}, {-192, -139}, {-189, 2}, {191, -3}};
  for (int i = 0; i < 6; ++i) {
    s.board_marks.push_back({400 + i, places[i][0], places[i][1], 3.0 * i - 7.0, 30.0});
  }
  return s;
}

// 655 mm over the board, tilted by a degree or two, the camera's picture upright: board y up in it.
inline vision::CameraPose camera_pose() {
  vision::CameraPose pose;
  cv::Matx33d tilt;
  cv::Rodrigues(cv::Vec3d(0.03, -0.02, 0.01), tilt);
  pose.rotation = tilt * cv::Matx33d(1, 0, 0, 0, -1, 0, 0, 0, -1);
  pose.translation_mm = {4.0, -9.0, 655.0};
  return pose;
}

// A tag as a perfect finder would report it, from its corners in the board frame.
inline vision::SeenTag seen(int id, const std::array<cv::Point2d, 4>& corners_in_board, double height_mm,
                            const vision::Lens& lens, const vision::CameraPose& pose) {
  vision::SeenTag tag;
  tag.id = id;
  tag.sigma_px = 0.02;
  tag.side_samples = 100;
  for (std::size_t k = 0; k < 4; ++k) {
    const cv::Vec3d p(corners_in_board[k].x, corners_in_board[k].y, height_mm);
    const cv::Vec3d in_camera = pose.rotation * p + pose.translation_mm;
    tag.corners_normalised[k] = {in_camera[0] / in_camera[2], in_camera[1] / in_camera[2]};
    tag.corners_px[k] = vision::project(lens, in_camera);
  }
  return tag;
}

inline std::vector<vision::SeenTag> seen_marks(const vision::Station& s, const vision::CameraPose& pose) {
  std::vector<vision::SeenTag> tags;
  for (const vision::BoardMark& mark : s.board_marks) {
    tags.push_back(seen(mark.id, vision::board_mark_corners(mark, 1.0), 0.0, s.lens, pose));
  }
  return tags;
}

inline std::vector<vision::SeenTag> seen_sticker(int number, const vision::Pose2& board_from_sticker,
                                                 double cloth_height_mm, const vision::Station& s,
                                                 const vision::CameraPose& pose) {
  std::vector<vision::SeenTag> tags;
  for (int id = 4 * number; id < 4 * number + 4; ++id) {
    std::array<cv::Point2d, 4> corners = vision::sticker_tag_corners(id, 1.0);
    for (cv::Point2d& corner : corners) corner = vision::apply(board_from_sticker, corner);
    tags.push_back(seen(id, corners, cloth_height_mm, s.lens, pose));
  }
  return tags;
}

}  // namespace test_scene
