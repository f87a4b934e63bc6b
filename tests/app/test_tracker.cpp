// The tracker on rendered frames: what it says in every plight, and that following agrees with searching.
#include <opencv2/imgproc.hpp>

#include "app/render/demo_station.h"
#include "app/render/renderer.h"
#include "tests/catch.h"
#include "vision/board_pose.h"
#include "vision/tag_watch.h"
#include "vision/tracker.h"

using namespace app;
using vision::Pose2;
using vision::Status;
using vision::Tracker;
using vision::TrackerOptions;

namespace {

const vision::Hoop& rectangle() {
  static const vision::Hoop hoop = demo_hoop("demo 130 x 180");
  return hoop;
}

Scene pressed(double hoop_angle_deg = 3.0) {
  Scene scene;
  scene.camera_from_board = camera_from_board(demo_camera_place());
  scene.ring.rim_height_mm = rectangle().rim_height_mm;
  scene.cloth_height_mm = rectangle().cloth_height_mm;
  scene.ring.board_from_hoop = Pose2{{4.0, -3.0}, hoop_angle_deg * vision::kRadPerDeg};
  StickerPlace sticker;
  sticker.number = 17;
  sticker.board_from_sticker = vision::compose(scene.ring.board_from_hoop, Pose2{{6.5, -12.0}, 0.05});
  scene.stickers = {sticker};
  return scene;
}

cv::Mat picture(const Scene& scene, std::uint64_t seed = 1) {
  Renderer renderer(demo_station(), rectangle());
  return renderer.render(scene, seed).clone();
}

void check_reading(const vision::FrameResult& result, const Scene& scene, double within_mm, double within_deg) {
  REQUIRE(result.status == Status::ok);
  REQUIRE(result.reading);
  const TrueReading truth = true_reading(scene).value();
  CHECK_THAT(result.reading->offset_x_mm, WithinAbs(truth.offset_x_mm, within_mm));
  CHECK_THAT(result.reading->offset_y_mm, WithinAbs(truth.offset_y_mm, within_mm));
  CHECK_THAT(result.reading->rotation_deg, WithinAbs(truth.rotation_deg, within_deg));
}

}  // namespace

TEST_CASE("a rendered frame reads true, fresh and followed", "[tracker]") {
  const Scene scene = pressed();
  Tracker tracker(demo_station(), rectangle());
  check_reading(tracker.read(picture(scene, 1)), scene, 0.10, 0.05);
  const vision::Reading fresh = *tracker.read(picture(scene, 2)).reading;
  for (std::uint64_t seed = 3; seed < 6; ++seed) {
    const vision::FrameResult& followed = tracker.read(picture(scene, seed));
    CHECK(followed.tracked);
    check_reading(followed, scene, 0.10, 0.05);
    CHECK_THAT(followed.reading->offset_x_mm, WithinAbs(fresh.offset_x_mm, followed.reading->u_offset_mm));
    CHECK_THAT(followed.reading->rotation_deg, WithinAbs(fresh.rotation_deg, followed.reading->u_rotation_deg));
  }
}

// Guarantees: a hoop the other way round reads half a turn on. Example failure: the doubled notch is taken for south.
TEST_CASE("a hoop laid the wrong way round reads half a turn on, also when the last frame's lay right",
          "[tracker][sign]") {
  Tracker tracker(demo_station(), rectangle());
  Scene scene = pressed(0.0);
  check_reading(tracker.read(picture(scene)), scene, 0.10, 0.05);
  scene.ring.board_from_hoop.angle_rad += vision::kPi;
  check_reading(tracker.read(picture(scene)), scene, 0.10, 0.05);
  CHECK(std::abs(tracker.read(picture(scene)).reading->rotation_deg) > 170.0);
}

// Guarantees: a camera's padded plane is read where it lies. Example failure: rows taken to be one after another.
TEST_CASE("rows may be padded as a camera pads them", "[tracker]") {
  const Scene scene = pressed();
  const cv::Mat tight = picture(scene);
  cv::Mat padded(tight.rows, tight.cols + 192, CV_8UC1, cv::Scalar(255));
  cv::Mat plane = padded(cv::Rect(0, 0, tight.cols, tight.rows));
  tight.copyTo(plane);
  REQUIRE_FALSE(plane.isContinuous());
  Tracker a(demo_station(), rectangle()), b(demo_station(), rectangle());
  const vision::Reading of_tight = *a.read(tight).reading, of_plane = *b.read(plane).reading;
  CHECK(of_tight.offset_x_mm == of_plane.offset_x_mm);
  CHECK(of_tight.rotation_deg == of_plane.rotation_deg);
}

TEST_CASE("full-HD and twelve-megapixel frames are read", "[tracker][slow]") {
  for (const auto& [width, height] : {std::pair{1920, 1080}, {4056, 3040}}) {
    vision::Station station = demo_station();
    const double scale = static_cast<double>(width) / station.lens.width_px;
    station.lens.fx *= scale;
    station.lens.fy *= scale;
    station.lens.cx = (station.lens.cx + 0.5) * scale - 0.5;
    station.lens.cy = 0.5 * height - 0.5;
    station.lens.width_px = width;
    station.lens.height_px = height;
    const Scene scene = pressed();
    Renderer renderer(station, rectangle());
    Tracker tracker(station, rectangle());
    INFO(width << " x " << height);
    check_reading(tracker.read(renderer.render(scene, 1)), scene, 0.10, 0.05);
    check_reading(tracker.read(renderer.render(scene, 2)), scene, 0.10, 0.05);
  }
}

TEST_CASE("frames of another type or size are refused with a reason", "[tracker]") {
  Tracker tracker(demo_station(), rectangle());
  CHECK_THROWS_AS(tracker.read(cv::Mat(1296, 2304, CV_8UC3)), std::invalid_argument);
  CHECK_THROWS_AS(tracker.read(cv::Mat(1080, 1920, CV_8UC1)), std::invalid_argument);
  CHECK_THROWS_AS(tracker.read(cv::Mat()), std::invalid_argument);
}

TEST_CASE("stickers: none, the wrong one, two, and the one that was asked for", "[tracker]") {
  Scene scene = pressed();
  Scene none = scene;
  none.stickers.clear();
  Tracker tracker(demo_station(), rectangle());
  CHECK(tracker.read(picture(none)).status == Status::no_sticker);

  TrackerOptions asked;
  asked.sticker = 18;
  Tracker other(demo_station(), rectangle(), asked);
  CHECK(other.read(picture(scene)).status == Status::wrong_sticker);

  Scene two = scene;
  StickerPlace second;
  second.number = 18;
  second.board_from_sticker = Pose2{{-30.0, 40.0}, 0.3};
  two.stickers.push_back(second);
  tracker.forget();
  CHECK(tracker.read(picture(two)).status == Status::several_stickers);
  asked.sticker = 17;
  Tracker named(demo_station(), rectangle(), asked);
  check_reading(named.read(picture(two)), scene, 0.10, 0.05);
}

// Guarantees: a second sticker laid down while one is followed is noticed within one sweep of the frame.
TEST_CASE("a second sticker that is laid down later is noticed", "[tracker]") {
  const Scene scene = pressed();
  Scene two = scene;
  StickerPlace second;
  second.number = 60;
  second.board_from_sticker = Pose2{{-25.0, 35.0}, -0.4};
  two.stickers.push_back(second);
  const cv::Mat first = picture(scene), later = picture(two);
  Tracker tracker(demo_station(), rectangle());
  REQUIRE(tracker.read(first).status == Status::ok);
  int frames = 0;
  while (tracker.read(later).status == Status::ok && frames < 100) ++frames;
  CHECK(frames <= vision::TagWatch::kSweep);
  CHECK(tracker.read(later).status == Status::several_stickers);
}

TEST_CASE("the same number twice is two stickers", "[tracker]") {
  Scene scene = pressed();
  StickerPlace twin = scene.stickers.front();
  twin.board_from_sticker.origin_mm += cv::Point2d(-40.0, 50.0);
  scene.stickers.push_back(twin);
  Tracker tracker(demo_station(), rectangle());
  CHECK(tracker.read(picture(scene)).status == Status::several_stickers);
}

TEST_CASE("without a ring, or with another hoop, there is a reason", "[tracker]") {
  Scene scene = pressed();
  scene.ring.state = RingState::none;
  Tracker tracker(demo_station(), rectangle());
  CHECK(tracker.read(picture(scene)).status == Status::no_ring);
  Tracker other(demo_station(), demo_hoop("demo round 160"));
  const Status status = other.read(picture(pressed())).status;
  CHECK((status == Status::no_ring || status == Status::ring_covered));
}

// Guarantees: the board's marks decide. A knocked camera is corrected, hidden marks are bridged while what is left
// agrees, and marks that do not agree give no reading.
TEST_CASE("a knocked camera is corrected from the marks", "[tracker][board]") {
  Scene scene = pressed();
  Tracker tracker(demo_station(), rectangle());
  check_reading(tracker.read(picture(scene)), scene, 0.10, 0.05);
  CameraPlace knocked = demo_camera_place();
  knocked.x_mm += 12.0;
  knocked.tilt_y_deg += 1.5;
  scene.camera_from_board = camera_from_board(knocked);
  check_reading(tracker.read(picture(scene)), scene, 0.12, 0.05);
}

TEST_CASE("hidden marks are bridged while the others agree with the last pose", "[tracker][board]") {
  const Scene scene = pressed();
  const vision::Station station = demo_station();
  const cv::Mat whole = picture(scene);
  const auto hide = [&](cv::Mat frame, std::size_t first) {
    for (std::size_t i = first; i < station.board_marks.size(); ++i) {
      const vision::BoardMark& mark = station.board_marks[i];
      const cv::Point2d at =
          vision::image_from_board(station.lens, scene.camera_from_board, {mark.x_mm, mark.y_mm, 0.0});
      cv::circle(frame, at, 90, cv::Scalar(120), -1);
    }
    return frame;
  };
  const cv::Mat two_left = hide(whole.clone(), 2), none_left = hide(whole.clone(), 0);
  Tracker fresh(station, rectangle());
  CHECK(fresh.read(two_left).status == Status::no_board);
  Tracker tracker(station, rectangle());
  check_reading(tracker.read(whole), scene, 0.10, 0.05);
  const vision::FrameResult& bridged = tracker.read(two_left);
  CHECK_FALSE(bridged.board_from_this_frame);
  check_reading(bridged, scene, 0.10, 0.05);
  CHECK(tracker.read(none_left).status == Status::no_board);
}

TEST_CASE("marks that do not lie where they were surveyed give no reading", "[tracker][board]") {
  vision::Station moved = demo_station();
  for (std::size_t i = 0; i < moved.board_marks.size(); ++i) {
    moved.board_marks[i].x_mm += i % 2 == 0 ? 3.0 * static_cast<double>(i + 1) : -4.0;
    moved.board_marks[i].y_mm += i % 3 == 0 ? 5.0 : -2.0 * static_cast<double>(i);
  }
  Tracker tracker(moved, rectangle());
  CHECK(tracker.read(picture(pressed())).status == Status::board_moved);
}

TEST_CASE("pictures too dark, too bright and blurred are told apart", "[tracker]") {
  Tracker tracker(demo_station(), rectangle());
  const cv::Mat good = picture(pressed());
  cv::Mat bad;
  good.convertTo(bad, -1, 0.08);
  CHECK(tracker.read(bad).status == Status::too_dark);
  good.convertTo(bad, -1, 4.0, 230.0);
  CHECK(tracker.read(bad).status == Status::too_bright);
  cv::GaussianBlur(good, bad, {}, 12.0);
  CHECK(tracker.read(bad).status == Status::blurred);
  CHECK(tracker.read(cv::Mat::zeros(good.size(), CV_8UC1)).status == Status::too_dark);
}

TEST_CASE("what moves between two frames is moving, what stands still is read", "[tracker]") {
  TrackerOptions live;
  live.moving_limit_mm = 0.5;
  Tracker tracker(demo_station(), rectangle(), live);
  Scene scene = pressed();
  REQUIRE(tracker.read(picture(scene, 1)).status == Status::ok);
  scene.stickers.front().board_from_sticker.origin_mm.x += 2.0;
  CHECK(tracker.read(picture(scene, 2)).status == Status::moving);
  check_reading(tracker.read(picture(scene, 3)), scene, 0.10, 0.05);
}

// Guarantees: frame after frame of changing scenes, a reading is right or absent. Example failure: a pose dragged along
// from the last frame when the ring was carried off.
TEST_CASE("jumping scenes leave nothing behind", "[tracker]") {
  Tracker tracker(demo_station(), rectangle());
  for (int i = 0; i < 8; ++i) {
    Scene scene = pressed(i % 2 == 0 ? -8.0 : 9.0);
    scene.ring.board_from_hoop.origin_mm = {i % 2 == 0 ? -15.0 : 12.0, i % 3 == 0 ? 10.0 : -9.0};
    scene.stickers.front().board_from_sticker =
        vision::compose(scene.ring.board_from_hoop, Pose2{{3.0 * i - 10.0, 8.0 - 2.0 * i}, 0.02 * i});
    scene.stickers.front().number = i;
    INFO("frame " << i);
    check_reading(tracker.read(picture(scene, static_cast<std::uint64_t>(i))), scene, 0.12, 0.06);
  }
}
