#include "calib/board_frame.h"
#include "calib/camera_place.h"
#include "tests/catch.h"

namespace {

vision::Station board() {
  vision::Station station;
  station.board_marks = {{400, -190.0, 140.0, 0.0, 30.0, 0.05, 0.02},
                         {401, 190.0, 140.0, 90.0, 30.0},
                         {402, 190.0, -140.0, 180.0, 30.0},
                         {403, -190.0, -140.0, -5.0, 30.0}};
  station.surveyed_camera = calib::camera_from_board({10.0, -5.0, 650.0, 0.5, -0.3, 2.0});
  return station;
}

}  // namespace

// Guarantees: pointing at a place makes it (0, 0), and pointing on makes that way x. By hand. Example failure: the
// frame moves the other way.
TEST_CASE("a frame is moved to where the person points", "[board_frame][sign]") {
  vision::Station station = board();
  // Origin on mark 403, x towards mark 400, which is "up": the old x axis points to the new -y.
  const auto pose = calib::frame_through({-190.0, -140.0}, cv::Point2d(-190.0, 140.0));
  REQUIRE(pose);
  calib::move_frame(station, *pose);
  CHECK_THAT(station.board_marks[3].x_mm, WithinAbs(0.0, 1e-9));
  CHECK_THAT(station.board_marks[3].y_mm, WithinAbs(0.0, 1e-9));
  CHECK_THAT(station.board_marks[0].x_mm, WithinAbs(280.0, 1e-9));
  CHECK_THAT(station.board_marks[0].y_mm, WithinAbs(0.0, 1e-9));
  CHECK_THAT(station.board_marks[2].x_mm, WithinAbs(0.0, 1e-9));
  CHECK_THAT(station.board_marks[2].y_mm, WithinAbs(-380.0, 1e-9));
  CHECK_THAT(station.board_marks[1].angle_deg, WithinAbs(0.0, 1e-9));
  CHECK_THAT(station.board_marks[3].angle_deg, WithinAbs(-95.0, 1e-9));
  CHECK(station.board_marks[0].u_mm == 0.05);
  // Without a second point the axes stay.
  vision::Station shifted = board();
  calib::move_frame(shifted, *calib::frame_through({10.0, 20.0}, std::nullopt));
  CHECK_THAT(shifted.board_marks[1].x_mm, WithinAbs(180.0, 1e-9));
  CHECK_THAT(shifted.board_marks[1].y_mm, WithinAbs(120.0, 1e-9));
  CHECK_THAT(shifted.board_marks[1].angle_deg, WithinAbs(90.0, 1e-9));
  CHECK_FALSE(calib::frame_through({1.0, 1.0}, cv::Point2d(1.0, 5.0)));
}

// Guarantees: the camera moves with the frame, so that it sees every mark where it did.
TEST_CASE("a moved frame changes nothing of what the camera sees", "[board_frame]") {
  const vision::Station before = board();
  vision::Station after = board();
  calib::move_frame(after, *calib::frame_through({33.0, -21.0}, cv::Point2d(-40.0, 60.0)));
  for (std::size_t i = 0; i < 4; ++i) {
    const auto seen = [i](const vision::Station& s) {
      return s.surveyed_camera->rotation * cv::Vec3d(s.board_marks[i].x_mm, s.board_marks[i].y_mm, 0.0) +
             s.surveyed_camera->translation_mm;
    };
    CHECK(cv::norm(seen(before) - seen(after)) < 1e-9);
  }
}

TEST_CASE("a new survey is laid onto the old one by the marks that stayed", "[board_frame]") {
  const vision::Station old = board();
  vision::Station fresh = board();
  calib::move_frame(fresh, *calib::frame_through({25.0, 10.0}, cv::Point2d(90.0, 30.0)));
  fresh.board_marks[1].x_mm += 30.0;  // stuck anew elsewhere
  const auto pose = calib::frame_of(old.board_marks, fresh.board_marks);
  REQUIRE(pose);
  calib::move_frame(fresh, *pose);
  for (const std::size_t i : {0U, 2U, 3U}) {
    CHECK_THAT(fresh.board_marks[i].x_mm, WithinAbs(old.board_marks[i].x_mm, 1e-9));
    CHECK_THAT(fresh.board_marks[i].y_mm, WithinAbs(old.board_marks[i].y_mm, 1e-9));
  }
  fresh.board_marks[0].y_mm += 10.0;
  CHECK_FALSE(calib::frame_of(old.board_marks, fresh.board_marks));
  CHECK_FALSE(calib::frame_of({}, fresh.board_marks));
}
