#include <cmath>
#include <opencv2/calib3d.hpp>
#include <vector>

#include "tests/catch.h"
#include "vision/camera.h"

using namespace vision;

namespace {

std::vector<Lens> lenses() {
  const std::vector<std::array<double, 5>> distortions{{0, 0, 0, 0, 0},
                                                       {-0.12, 0.09, 0.0006, -0.0005, -0.02},
                                                       {0.18, -0.25, -0.001, 0.002, 0.05},
                                                       {-0.31, 0.11, 0.0, 0.0, 0.0}};
  std::vector<Lens> all;
  for (const auto& distortion : distortions) {
    Lens lens;
    lens.width_px = 2304, lens.height_px = 1296;
    lens.fx = 2246.3, lens.fy = 2248.1, lens.cx = 1160.4, lens.cy = 640.7;
    lens.distortion = distortion;
    all.push_back(lens);
  }
  return all;
}

CameraPose tilted_pose(double tilt_x, double tilt_y, double turn_rad) {
  const cv::Matx33d down(1, 0, 0, 0, -1, 0, 0, 0, -1);
  cv::Matx33d tilt;
  cv::Rodrigues(cv::Vec3d(tilt_x, tilt_y, turn_rad), tilt);
  CameraPose pose;
  pose.rotation = tilt * down;
  pose.translation_mm = -(pose.rotation * cv::Vec3d(12.0, -7.0, 655.0));
  return pose;
}

// Straight down from 650 mm over the board's origin, no distortion.
CameraPose straight_down() { return {cv::Matx33d(1, 0, 0, 0, -1, 0, 0, 0, -1), {0.0, 0.0, 650.0}, {}}; }

}  // namespace

// Guarantees: the lens formula is OpenCV's. Source: cv::projectPoints of the OpenCV in use.
TEST_CASE("image points agree with cv::projectPoints", "[camera][reference]") {
  for (const Lens& lens : lenses()) {
    const cv::Matx33d k(lens.fx, 0, lens.cx, 0, lens.fy, lens.cy, 0, 0, 1);
    const cv::Mat distortion(1, 5, CV_64F, const_cast<double*>(lens.distortion.data()));
    for (const double tilt : {-0.06, 0.0, 0.05}) {
      const CameraPose pose = tilted_pose(tilt, -0.5 * tilt, 0.3 * tilt);
      cv::Vec3d rotation;
      cv::Rodrigues(pose.rotation, rotation);
      std::vector<cv::Point3d> points;
      for (double x = -220; x <= 220; x += 55)
        for (double y = -130; y <= 130; y += 65)
          for (const double z : {-5.0, 0.0, 12.0}) points.emplace_back(x, y, z);
      std::vector<cv::Point2d> expected;
      cv::projectPoints(points, rotation, pose.translation_mm, k, distortion, expected);
      for (std::size_t i = 0; i < points.size(); ++i) {
        const cv::Point2d seen = image_from_board(lens, pose, {points[i].x, points[i].y, points[i].z});
        REQUIRE_THAT(seen.x, WithinAbs(expected[i].x, 1e-7));
        REQUIRE_THAT(seen.y, WithinAbs(expected[i].y, 1e-7));
      }
    }
  }
}

// Guarantees: undistort is distort's inverse all over the picture. Example failure: it stops a step too early.
TEST_CASE("undistort undoes distort", "[camera]") {
  for (const Lens& lens : lenses()) {
    for (double x = 0; x < lens.width_px; x += 96) {
      for (double y = 0; y < lens.height_px; y += 108) {
        const cv::Point2d n = undistort(lens, {x, y});
        const cv::Point2d d = distort(lens, n);
        REQUIRE_THAT(d.x * lens.fx + lens.cx, WithinAbs(x, 1e-8));
        REQUIRE_THAT(d.y * lens.fy + lens.cy, WithinAbs(y, 1e-8));
      }
    }
  }
}

// Guarantees: a ray cut with a point's own plane gives the point back, at every height.
TEST_CASE("a point seen and cut at its own height is the point", "[camera]") {
  for (const Lens& lens : lenses()) {
    const CameraPose pose = tilted_pose(0.04, -0.03, 0.02);
    for (double x = -200; x <= 200; x += 40) {
      for (double y = -120; y <= 120; y += 40) {
        for (const double z : {0.0, 1.1, 11.4}) {
          const cv::Point2d back = board_at_height(lens, pose, image_from_board(lens, pose, {x, y, z}), z);
          REQUIRE_THAT(back.x, WithinAbs(x, 1e-8));
          REQUIRE_THAT(back.y, WithinAbs(y, 1e-8));
        }
      }
    }
  }
}

// Guarantees: no invented points. Example failure: a ray that looks at the sky meets the board behind the camera.
TEST_CASE("rays that meet nothing give NaN", "[camera]") {
  Lens barrel = lenses()[3];
  barrel.distortion = {-0.31, 0.0, 0.0, 0.0, 0.0};  // one-to-one only to a radius of 1.037 before, 0.69 after
  CHECK(std::isnan(undistort(barrel, {1160.4 + 0.75 * 2246.3, 640.7}).x));  // beyond where this lens is one-to-one
  CHECK(std::isnan(undistort(barrel, {std::nan(""), 640.0}).x));
  CHECK(std::isnan(board_at_height_normalised(straight_down(), {0.1, 0.1}, 700.0).x));  // above the camera
  const CameraPose level{cv::Matx33d(1, 0, 0, 0, 0, -1, 0, 1, 0), {0.0, 650.0, 0.0}, {}};
  CHECK(std::isnan(board_at_height_normalised(level, {0.0, -0.2}, 0.0).x));  // looks up
  CHECK(std::isnan(board_at_height_normalised(level, {0.0, 0.0}, 0.0).x));   // along the board
}

// Guarantees: the signs of the picture, computed by hand. f = 2000 px at 650 mm is 3.0769 px for a mm.
TEST_CASE("right is right, away is up and high is further out", "[camera][sign]") {
  Lens lens;
  lens.width_px = 2304, lens.height_px = 1296;
  lens.fx = lens.fy = 2000.0, lens.cx = 1152.0, lens.cy = 648.0;
  const CameraPose pose = straight_down();
  const cv::Point2d foot = image_from_board(lens, pose, {0, 0, 0});
  CHECK_THAT(foot.x, WithinAbs(1152.0, 1e-9));
  CHECK_THAT(foot.y, WithinAbs(648.0, 1e-9));
  const cv::Point2d right = image_from_board(lens, pose, {65.0, 0, 0});
  CHECK_THAT(right.x, WithinAbs(1152.0 + 200.0, 1e-9));
  CHECK_THAT(right.y, WithinAbs(648.0, 1e-9));
  const cv::Point2d away = image_from_board(lens, pose, {0, 65.0, 0});
  CHECK_THAT(away.x, WithinAbs(1152.0, 1e-9));
  CHECK_THAT(away.y, WithinAbs(648.0 - 200.0, 1e-9));
  // A rim point 11 mm up and 100 mm off the foot, taken for a point of the board: 100 * 650 / 639 = 101.72 mm.
  const cv::Point2d rim = board_at_height(lens, pose, image_from_board(lens, pose, {100.0, 0, 11.0}), 0.0);
  CHECK_THAT(rim.x, WithinAbs(101.7214, 1e-4));
  CHECK_THAT(rim.y, WithinAbs(0.0, 1e-9));
}
