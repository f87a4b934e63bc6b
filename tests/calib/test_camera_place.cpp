#include "calib/camera_place.h"
#include "calib/file_text.h"
#include "tests/calib/samples.h"
#include "tests/catch.h"
#include "tests/error_of.h"
#include "vision/geometry.h"

namespace {

using samples::kStation;
using samples::with;

std::string fault_in(const std::string& text) {
  return error_of([&] { calib::station_from_text(text, "s.toml"); });
}

const std::string kPlace =
    "[camera_place]\nx_mm = 4.0\ny_mm = -6.0\nheight_mm = 655.0\ntilt_x_deg = 0.7\ntilt_y_deg = -0.5\n"
    "roll_deg = 0.4\n";

}  // namespace

// Guarantees: the sign of every number, by hand. Example failure: a camera right of the board's centre reads left.
TEST_CASE("a camera's place is what a person would measure", "[camera_place][sign]") {
  const vision::CameraPose down = calib::camera_from_board({10.0, 20.0, 650.0, 0.0, 0.0, 0.0});
  // The point below the camera is seen in the middle, 650 mm away; a point right of it to the right, one further away
  // from the operator higher up in the picture.
  const auto seen = [](const vision::CameraPose& pose, const cv::Vec3d& p) {
    return pose.rotation * p + pose.translation_mm;
  };
  CHECK(cv::norm(seen(down, {10.0, 20.0, 0.0}) - cv::Vec3d(0.0, 0.0, 650.0)) < 1e-9);
  CHECK(cv::norm(seen(down, {15.0, 20.0, 0.0}) - cv::Vec3d(5.0, 0.0, 650.0)) < 1e-9);
  CHECK(cv::norm(seen(down, {10.0, 27.0, 0.0}) - cv::Vec3d(0.0, -7.0, 650.0)) < 1e-9);
  // Rolled by a quarter turn: the board's x axis points up in the picture.
  const vision::CameraPose rolled = calib::camera_from_board({0.0, 0.0, 650.0, 0.0, 0.0, 90.0});
  CHECK(cv::norm(seen(rolled, {5.0, 0.0, 0.0}) - cv::Vec3d(0.0, -5.0, 650.0)) < 1e-9);
}

TEST_CASE("a camera's place turns into a pose and back", "[camera_place][roundtrip]") {
  for (const double tilt_x : {-60.0, -0.7, 0.0, 12.0}) {
    for (const double tilt_y : {-45.0, 0.0, 0.5}) {
      for (const double roll : {-179.0, -90.0, 0.0, 0.4, 135.0}) {
        const calib::CameraPlace place{12.5, -7.25, 655.0, tilt_x, tilt_y, roll};
        const calib::CameraPlace again = calib::camera_place(calib::camera_from_board(place));
        CHECK_THAT(again.x_mm, WithinAbs(place.x_mm, 1e-9));
        CHECK_THAT(again.y_mm, WithinAbs(place.y_mm, 1e-9));
        CHECK_THAT(again.height_mm, WithinAbs(place.height_mm, 1e-9));
        CHECK_THAT(again.tilt_x_deg, WithinAbs(tilt_x, 1e-9));
        CHECK_THAT(again.tilt_y_deg, WithinAbs(tilt_y, 1e-9));
        CHECK_THAT(again.roll_deg, WithinAbs(roll, 1e-9));
      }
    }
  }
}

// Guarantees: what the survey adds to a station file is read, checked, written and optional.
TEST_CASE("a station file keeps the camera's place and the marks' uncertainties", "[files][camera_place]") {
  const std::string text =
      with(kStation + kPlace, "angle_deg = 90.0", "angle_deg = 90.0\nu_mm = 0.04\nu_angle_deg = 0.02");
  const vision::Station station = calib::station_from_text(text, "");
  REQUIRE(station.surveyed_camera);
  CHECK_THAT(calib::camera_place(*station.surveyed_camera).tilt_y_deg, WithinAbs(-0.5, 1e-9));
  CHECK(station.board_marks[1].u_mm == 0.04);
  CHECK(station.board_marks[1].u_angle_deg == 0.02);
  CHECK(station.board_marks[0].u_mm == 0.0);
  const vision::Station again = calib::station_from_text(calib::text_of(station), "again");
  REQUIRE(again.surveyed_camera);
  CHECK(cv::norm(again.surveyed_camera->rotation - station.surveyed_camera->rotation) < 1e-12);
  CHECK(cv::norm(again.surveyed_camera->translation_mm - station.surveyed_camera->translation_mm) < 1e-9);
  CHECK(again.board_marks[1].u_mm == 0.04);
  CHECK(again.board_marks[1].u_angle_deg == 0.02);
  CHECK_FALSE(calib::station_from_text(kStation, "").surveyed_camera);
}

TEST_CASE("faults of the camera's place and of uncertainties name line and mend", "[files][errors][camera_place]") {
  const std::string text = with(kStation + kPlace, "size_mm = 25.5\n", "size_mm = 25.5\nu_mm = 0.04\n");
  REQUIRE(fault_in(text) == "no error");
  // The file of samples.h has 36 lines, one was added, so the table starts in line 38.
  CHECK(fault_in(with(text, "height_mm = 655.0", "height_mm = 5.0"))
            .starts_with("s.toml:41: 'height_mm' is 5; write a number from 50 to 10000"));
  CHECK(fault_in(with(text, "roll_deg = 0.4\n", "")).starts_with("s.toml:38: [camera_place] has no 'roll_deg'; add"));
  CHECK(fault_in(with(text, "tilt_x_deg", "tilt_z_deg")).starts_with("s.toml:42: 'tilt_z_deg' is not a key of [camer"));
  CHECK(fault_in(with(text, "u_mm = 0.04", "u_mm = -0.04")).starts_with("s.toml:37: 'u_mm' is -0.04; write a number"));
  CHECK(fault_in(with(text, "u_mm = 0.04", "u_angle_deg = nan")).starts_with("s.toml:37: 'u_angle_deg' is nan"));
}
