#include <algorithm>
#include <nlohmann/json.hpp>

#include "app/advice.h"
#include "app/board_watch.h"
#include "app/frame_json.h"
#include "app/render/demo_station.h"
#include "app/render/renderer.h"
#include "calib/camera_place.h"
#include "tests/app/fake_result.h"
#include "tests/catch.h"
#include "vision/tracker.h"

using app::BoardWatch;

namespace {

vision::FrameResult frame(const vision::Station& station, const vision::CameraPose& pose) {
  vision::FrameResult result = fake::no_reading(station, pose, vision::Status::no_ring);
  result.board_from_this_frame = true;
  return result;
}

vision::FrameResult with_moved(vision::FrameResult result, int id) {
  auto& marks = result.board_marks;
  marks.erase(std::remove_if(marks.begin(), marks.end(), [id](const auto& tag) { return tag.id == id; }), marks.end());
  result.board_marks_disagreeing.push_back(id);
  return result;
}

void repeat(BoardWatch& watch, const vision::FrameResult& result, int frames) {
  for (int i = 0; i < frames; ++i) watch.update(result);
}

}  // namespace

// Guarantees: sentences name the mark and fit the screen, however many there are.
TEST_CASE("what is said of the board's marks names them and fits", "[board_watch]") {
  CHECK(app::moved_marks_advice({403}) ==
        "Board mark 403 is not where it was surveyed: press it down, or survey the board again.");
  for (const std::vector<int>& ids : {std::vector<int>{403}, {403, 404}, {400, 401, 402, 403, 404}}) {
    for (const std::string& text : {app::moved_marks_advice(ids), app::marks_twice_advice(ids)}) {
      INFO(text);
      CHECK(text.size() <= 90);
      CHECK(text.find(std::to_string(ids[0])) != std::string::npos);
      CHECK(text.back() == '.');
    }
  }
  CHECK(app::knock_advice(4.04, 0.618) == "The camera was knocked by 4.0 mm and 0.62 deg: corrected from the marks.");
  CHECK(app::knock_advice(1234.5, 179.99).size() <= 90);
}

// Guarantees: several frames in a row, not one, make a mark a moved one, and it is told once. Example failure: every
// hand that brushes a mark raises an alarm.
TEST_CASE("a moved mark is told after several frames, once, until it is back", "[board_watch]") {
  const vision::Station station = fake::station();
  const vision::FrameResult good = frame(station, fake::straight_down()), bad = with_moved(good, 403);
  BoardWatch watch(station);
  repeat(watch, bad, BoardWatch::kFrames - 1);
  CHECK(watch.notes().empty());
  repeat(watch, good, BoardWatch::kFrames);
  repeat(watch, bad, BoardWatch::kFrames);
  CHECK(watch.moved_marks() == std::vector<int>{403});
  CHECK(watch.news() == std::vector<std::string>{app::moved_marks_advice({403})});
  CHECK(watch.news().empty());
  repeat(watch, bad, 20);
  CHECK(watch.news().empty());
  CHECK(watch.notes().size() == 1);
  // Hidden, it is as bad as before; seen in its place for a while, it is good.
  vision::FrameResult hidden = bad;
  hidden.board_marks_disagreeing.clear();
  repeat(watch, hidden, 20);
  CHECK(watch.moved_marks().size() == 1);
  repeat(watch, good, BoardWatch::kFrames);
  CHECK(watch.notes().empty());
}

// Guarantees: how far and how much turned, by hand. Example failure: the shift of the board's origin, which a tilted
// camera throws far away, given for the camera's.
TEST_CASE("a knocked camera is measured against the survey's and told once", "[board_watch][camera]") {
  vision::Station station = fake::station();
  const calib::CameraPlace place{0.0, 0.0, 650.0, 0.0, 0.0, 0.0};
  station.surveyed_camera = calib::camera_from_board(place);
  calib::CameraPlace knocked = place;
  knocked.x_mm = 3.0;
  knocked.y_mm = 4.0;
  const vision::CameraPose there = calib::camera_from_board(knocked);
  const app::Knock knock = app::knock_between(*station.surveyed_camera, there, station.board_marks);
  CHECK_THAT(knock.way_mm, WithinAbs(5.0, 1e-9));
  CHECK_THAT(knock.turn_deg, WithinAbs(0.0, 1e-5));
  CHECK_THAT(knock.shift_mm, WithinAbs(5.0, 1e-9));
  knocked = place;
  knocked.roll_deg = 1.5;
  const app::Knock turned =
      app::knock_between(*station.surveyed_camera, calib::camera_from_board(knocked), station.board_marks);
  CHECK_THAT(turned.way_mm, WithinAbs(0.0, 1e-9));
  CHECK_THAT(turned.turn_deg, WithinAbs(1.5, 1e-9));
  // The marks lie 237.2 mm from the middle: twice the sine of half the angle of that.
  CHECK_THAT(turned.shift_mm, WithinAbs(2.0 * std::hypot(190.0, 142.0) * std::sin(0.75 * vision::kRadPerDeg), 1e-6));

  BoardWatch watch(station);
  repeat(watch, frame(station, fake::straight_down()), 10);
  CHECK(watch.notes().empty());
  repeat(watch, frame(station, there), BoardWatch::kFrames - 1);
  CHECK(watch.notes().empty());
  repeat(watch, frame(station, there), 1);
  REQUIRE(watch.knock());
  CHECK(watch.news() == std::vector<std::string>{app::knock_advice(5.0, 0.0)});
  repeat(watch, frame(station, there), BoardWatch::kKnockShown + 1);
  CHECK(watch.notes().empty());
  CHECK(watch.news().empty());
  CHECK(watch.knock());
  // Knocked on: told anew. Put back: nothing is left to say.
  knocked = place;
  knocked.x_mm = 8.0;
  repeat(watch, frame(station, calib::camera_from_board(knocked)), BoardWatch::kFrames);
  CHECK(watch.news() == std::vector<std::string>{app::knock_advice(8.0, 0.0)});
  repeat(watch, frame(station, fake::straight_down()), BoardWatch::kFrames);
  CHECK_FALSE(watch.knock());
}

TEST_CASE("without a survey's camera the first frame's is the usual one", "[board_watch][camera]") {
  const vision::Station station = fake::station();
  vision::CameraPose moved = fake::straight_down();
  moved.translation_mm[0] += 2.0;
  BoardWatch watch(station);
  repeat(watch, frame(station, moved), 20);
  CHECK(watch.notes().empty());
  repeat(watch, frame(station, fake::straight_down()), 20);
  CHECK(watch.notes().size() == 1);
}

// Guarantees: whole frames. A mark that was stuck elsewhere is named and the reading stays right; a number that is
// there twice spoils nothing; the camera's knock is measured. Example failure: the twin of a mark outvotes it.
TEST_CASE("rendered frames with a moved mark, a twin and a knocked camera are read and told",
          "[board_watch][tracker]") {
  const vision::Station station = app::demo_station();
  const vision::Hoop hoop = app::demo_hoop("demo 130 x 180");
  app::Scene scene;
  scene.camera_from_board = app::camera_from_board(app::demo_camera_place());
  app::StickerPlace sticker;
  sticker.number = 17;
  sticker.board_from_sticker = {{4.0, -3.0}, 0.05};
  scene.stickers.push_back(sticker);
  const app::TrueReading truth = *app::true_reading(scene);
  const auto check = [&](const vision::FrameResult& result) {
    REQUIRE(result.reading);
    CHECK_THAT(result.reading->offset_x_mm, WithinAbs(truth.offset_x_mm, 0.12));
    CHECK_THAT(result.reading->offset_y_mm, WithinAbs(truth.offset_y_mm, 0.12));
    CHECK_THAT(result.reading->rotation_deg, WithinAbs(truth.rotation_deg, 0.06));
  };

  SECTION("a mark stuck 3 mm further") {
    vision::Station shown = station;
    shown.board_marks[3].x_mm += 3.0;
    const cv::Mat grey = app::Renderer(shown, hoop).render(scene, 1);
    vision::Tracker tracker(station, hoop);
    BoardWatch watch(station);
    for (int i = 0; i < BoardWatch::kFrames; ++i) {
      const vision::FrameResult& result = tracker.read(grey);
      check(result);
      CHECK(result.board_marks_disagreeing == std::vector<int>{403});
      watch.update(result);
    }
    CHECK(watch.moved_marks() == std::vector<int>{403});
    const auto line = nlohmann::json::parse(app::frame_json("f", tracker.read(grey), std::nullopt, 1.0));
    CHECK(line["status"] == "ok");
    CHECK(line["detail"] == app::moved_marks_advice({403}));
  }
  SECTION("a number that is there twice") {
    vision::Station shown = station;
    shown.board_marks.push_back({403, -199.0, 70.0, 20.0, 30.0});
    const cv::Mat grey = app::Renderer(shown, hoop).render(scene, 1);
    vision::Tracker tracker(station, hoop);
    for (int i = 0; i < 2; ++i) {
      const vision::FrameResult& result = tracker.read(grey);
      check(result);
      CHECK(result.board_marks_twice == std::vector<int>{403});
      CHECK(result.board_marks_disagreeing.empty());
      CHECK(result.board_marks.size() == 6);
    }
    const auto line = nlohmann::json::parse(app::frame_json("f", tracker.read(grey), std::nullopt, 1.0));
    CHECK(line["detail"] == app::marks_twice_advice({403}));
  }
  SECTION("a knocked camera") {
    vision::Station surveyed = station;
    surveyed.surveyed_camera = scene.camera_from_board;
    app::CameraPlace knocked = app::demo_camera_place();
    knocked.x_mm += 6.0;
    knocked.tilt_x_deg -= 0.8;
    app::Scene after = scene;
    after.camera_from_board = app::camera_from_board(knocked);
    app::Renderer renderer(station, hoop);
    vision::Tracker tracker(surveyed, hoop);
    BoardWatch watch(surveyed);
    const cv::Mat before = renderer.render(scene, 1).clone(), grey = renderer.render(after, 2).clone();
    for (int i = 0; i < BoardWatch::kFrames; ++i) watch.update(tracker.read(before));
    CHECK(watch.notes().empty());
    for (int i = 0; i < BoardWatch::kFrames; ++i) {
      const vision::FrameResult& result = tracker.read(grey);
      check(result);
      watch.update(result);
    }
    REQUIRE(watch.knock());
    CHECK_THAT(watch.knock()->way_mm, WithinAbs(6.0, 1.0));
    CHECK_THAT(watch.knock()->turn_deg, WithinAbs(0.8, 0.15));
  }
  SECTION("fewer than three marks agree") {
    vision::Station shown = station;
    shown.board_marks.resize(4);
    shown.board_marks[0].x_mm += 4.0;
    shown.board_marks[2].y_mm += 5.0;
    vision::Tracker tracker(station, hoop);
    const vision::FrameResult& result = tracker.read(app::Renderer(shown, hoop).render(scene, 1));
    CHECK(result.status == vision::Status::board_moved);
    CHECK_FALSE(result.reading);
  }
}
