// The camera model against OpenCV's: the same Brown-Conrady formula, written by other people.
#include <cmath>
#include <opencv2/calib3d.hpp>
#include <random>
#include <vector>

#include "tests/catch.h"
#include "vision/camera.h"

using namespace vision;

namespace {

struct Case {
  const char* what;
  Lens lens;
};

// Invented lenses of the kinds that a station meets; the third has every coefficient at work.
std::vector<Case> cases() {
  return {
      {"no distortion", {2304, 1296, 2246.3, 2248.1, 1160.4, 640.7, {}, {}}},
      {"barrel", {2304, 1296, 2246.3, 2248.1, 1160.4, 640.7, {-0.1182, 0.0871, 0.0, 0.0, -0.0213}, {}}},
      {"barrel, off centre", {4608, 2592, 4493.0, 4496.5, 2330.1, 1270.2, {-0.21, 0.12, 0.0021, -0.0017, -0.04}, {}}},
      {"pincushion", {1920, 1080, 1400.0, 1401.0, 955.0, 545.0, {0.08, -0.02, -0.0005, 0.0009, 0.001}, {}}}};
}

cv::Matx33d matrix(const Lens& lens) { return {lens.fx, 0.0, lens.cx, 0.0, lens.fy, lens.cy, 0.0, 0.0, 1.0}; }
std::vector<double> distortion(const Lens& lens) { return {lens.distortion.begin(), lens.distortion.end()}; }

// Looking down from 650 mm: camera x is board x, camera y is minus board y; then tilted by up to some degrees.
CameraPose looking_down(cv::Vec3d tilt_rad, cv::Vec3d shift_mm) {
  CameraPose pose;
  cv::Matx33d tilt;
  cv::Rodrigues(tilt_rad, tilt);
  pose.rotation = tilt * cv::Matx33d(1, 0, 0, 0, -1, 0, 0, 0, -1);
  pose.translation_mm = cv::Vec3d(0, 0, 650) + shift_mm;
  return pose;
}

std::vector<CameraPose> poses() {
  return {looking_down({0, 0, 0}, {0, 0, 0}), looking_down({0.2, -0.15, 0.1}, {12, -7, 40}),
          looking_down({-0.1, 0.25, 3.0}, {-20, 5, -60})};
}

}  // namespace

// Guarantees: image_from_board and cv::projectPoints put every point of the board's neighbourhood at the same place.
TEST_CASE("points are projected as OpenCV projects them", "[reference][camera]") {
  for (const Case& c : cases()) {
    CAPTURE(c.what);
    for (const CameraPose& pose : poses()) {
      std::vector<cv::Point3d> in_board;
      for (double x = -200; x <= 200; x += 40)
        for (double y = -140; y <= 140; y += 40)
          for (const double z : {0.0, 1.0, 12.0}) in_board.emplace_back(x, y, z);
      cv::Vec3d turn;
      cv::Rodrigues(pose.rotation, turn);
      std::vector<cv::Point2d> theirs;
      cv::projectPoints(in_board, turn, pose.translation_mm, matrix(c.lens), distortion(c.lens), theirs);
      for (std::size_t i = 0; i < in_board.size(); ++i) {
        const cv::Point2d ours = image_from_board(c.lens, pose, in_board[i]);
        REQUIRE_THAT(ours.x, WithinAbs(theirs[i].x, 1e-8));
        REQUIRE_THAT(ours.y, WithinAbs(theirs[i].y, 1e-8));
      }
    }
  }
}

// Guarantees: undistort and cv::undistortPoints agree over the whole picture. OpenCV is told to iterate to the end; by
// default it stops after five steps.
TEST_CASE("image points are un-distorted as OpenCV does", "[reference][camera]") {
  const cv::TermCriteria to_the_end(cv::TermCriteria::COUNT | cv::TermCriteria::EPS, 500, 1e-14);
  for (const Case& c : cases()) {
    CAPTURE(c.what);
    std::vector<cv::Point2d> image, theirs;
    for (int x = 0; x < c.lens.width_px; x += 97)
      for (int y = 0; y < c.lens.height_px; y += 89) image.emplace_back(x, y);
    cv::undistortPoints(image, theirs, matrix(c.lens), distortion(c.lens), cv::noArray(), cv::noArray(), to_the_end);
    for (std::size_t i = 0; i < image.size(); ++i) {
      const cv::Point2d ours = undistort(c.lens, image[i]);
      REQUIRE_THAT(ours.x, WithinAbs(theirs[i].x, 1e-9));
      REQUIRE_THAT(ours.y, WithinAbs(theirs[i].y, 1e-9));
    }
  }
}

// Guarantees: a ray that OpenCV projected is cut with its plane at the point it came from.
TEST_CASE("OpenCV's projection of a point leads back to it at its height", "[reference][camera]") {
  for (const Case& c : cases()) {
    for (const CameraPose& pose : poses()) {
      cv::Vec3d turn;
      cv::Rodrigues(pose.rotation, turn);
      for (const double height_mm : {0.0, 1.1, 11.5}) {
        const cv::Point3d p(63.0, -41.0, height_mm);
        std::vector<cv::Point2d> image;
        cv::projectPoints(std::vector<cv::Point3d>{p}, turn, pose.translation_mm, matrix(c.lens), distortion(c.lens),
                          image);
        const cv::Point2d back = board_at_height(c.lens, pose, image[0], height_mm);
        CHECK_THAT(back.x, WithinAbs(p.x, 1e-8));
        CHECK_THAT(back.y, WithinAbs(p.y, 1e-8));
      }
    }
  }
}
