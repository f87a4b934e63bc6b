#include <limits>
#include <opencv2/imgproc.hpp>

#include "app/overlay.h"
#include "app/overlay_shapes.h"
#include "tests/catch.h"

namespace {

// A camera straight above the board's middle: 1 px a mm, image y down, board y up.
vision::Station station() {
  vision::Station s;
  s.lens = {1000, 800, 1000.0, 1000.0, 500.0, 400.0, {}, {}};
  s.board_marks = {{400, -300, 200, 0, 30}, {401, 300, 200, 0, 30}, {402, 300, -200, 0, 30}, {403, -300, -200, 0, 30}};
  return s;
}

vision::Hoop hoop() {
  vision::Hoop h;
  h.field_mm = {130.0, 180.0};
  return h;
}

vision::FrameResult seen() {
  vision::FrameResult r;
  r.status = vision::Status::ok;
  r.reading.emplace();
  r.reading->offset_x_mm = 20.0;
  r.camera_from_board = vision::CameraPose{{1, 0, 0, 0, -1, 0, 0, 0, -1}, {0.0, 0.0, 1000.0}, {}};
  r.board_from_hoop = vision::Pose2{{10.0, 30.0}, 0.0};
  r.board_marks.resize(3);
  for (int i = 0; i < 3; ++i) r.board_marks[static_cast<std::size_t>(i)].id = 400 + i;
  r.inner_px = {{580, 275}, {440, 275}, {440, 465}, {580, 465}};
  for (std::size_t i = 0; i < 4; ++i) r.notches[i] = {vision::kSides[i], true, {510, 275}};
  r.stickers.resize(1);
  r.stickers[0].number = 42;
  r.stickers[0].outline_px = {{{508, 348}, {552, 348}, {552, 392}, {508, 392}}};
  r.stickers[0].centre_px = {530, 370};
  r.stickers[0].arrow_px = {530, 355};
  return r;
}

bool has_label(const app::OverlayShapes& shapes, const std::string& text, app::Tone tone) {
  for (const app::Label& label : shapes.labels)
    if (label.text == text && label.tone == tone) return true;
  return false;
}

cv::Rect2d bounds(const app::OverlayShapes& shapes, app::Tone tone, std::size_t fewest_points) {
  cv::Rect2d box;
  for (const app::Shape& shape : shapes.shapes) {
    if (shape.tone != tone || shape.points_px.size() < fewest_points) continue;
    cv::Point2d least = shape.points_px[0], most = least;
    for (const cv::Point2d& p : shape.points_px) {
      least = {std::min(least.x, p.x), std::min(least.y, p.y)};
      most = {std::max(most.x, p.x), std::max(most.y, p.y)};
    }
    box = {least, most};
  }
  return box;
}

}  // namespace

// By hand: the hoop's centre (10, 30) mm is at (510, 370) px, so the field of 130 x 180 mm spans x 445..575, y
// 280..460.
TEST_CASE("the field is drawn where it lies", "[overlay]") {
  const cv::Rect2d box = bounds(app::overlay_shapes(seen(), station(), hoop()), app::Tone::field, 10);
  CHECK_THAT(box.x, WithinAbs(445.0, 1e-9));
  CHECK_THAT(box.y, WithinAbs(280.0, 1e-9));
  CHECK_THAT(box.width, WithinAbs(130.0, 1e-9));
  CHECK_THAT(box.height, WithinAbs(180.0, 1e-9));
}

TEST_CASE("the way from the hoop's centre to the cross is an arrow of the offset's length", "[overlay]") {
  const app::OverlayShapes shapes = app::overlay_shapes(seen(), station(), hoop());
  int arrows = 0;
  for (const app::Shape& shape : shapes.shapes) {
    if (shape.tone != app::Tone::field || !shape.arrow) continue;
    ++arrows;
    CHECK(cv::norm(shape.points_px.front() - cv::Point2d(510, 370)) < 1e-9);
    CHECK(cv::norm(shape.points_px.back() - cv::Point2d(530, 370)) < 1e-9);
  }
  CHECK(arrows == 1);
}

TEST_CASE("marks, notches and stickers are named, and what is missing is said", "[overlay]") {
  vision::FrameResult result = seen();
  result.notches[2].seen = false;
  app::OverlayShapes shapes = app::overlay_shapes(result, station(), hoop());
  CHECK(has_label(shapes, "400", app::Tone::board));
  CHECK(has_label(shapes, "403 not seen", app::Tone::missing));
  CHECK(has_label(shapes, "NORTH", app::Tone::notch));
  CHECK(has_label(shapes, "S ?", app::Tone::missing));
  CHECK(has_label(shapes, "sticker 42", app::Tone::sticker));
  result.board_marks_disagreeing = {403};
  CHECK(has_label(app::overlay_shapes(result, station(), hoop()), "403 moved", app::Tone::missing));
}

// Guarantees: whatever a frame gave, there is a picture of it. Example failure: a NaN point ends in cv's exception.
TEST_CASE("every status and every degenerate result can be drawn", "[overlay]") {
  const cv::Mat grey(800, 1000, CV_8UC1, cv::Scalar(128));
  vision::FrameResult broken = seen();
  broken.stickers[0].outline_px[0].x = std::numeric_limits<double>::quiet_NaN();
  broken.notches[0].image_px = {std::numeric_limits<double>::infinity(), 0.0};
  broken.inner_px[0] = {1e300, -1e300};
  for (vision::FrameResult result : {seen(), broken, vision::FrameResult{}}) {
    for (int i = 0; i < vision::kStatusCount; ++i) {
      result.status = static_cast<vision::Status>(i);
      if (i > 0) result.reading.reset();
      const cv::Mat picture = app::draw_overlay(grey, result, station(), hoop());
      REQUIRE(picture.size() == grey.size());
      CHECK(picture.type() == CV_8UC3);
      cv::Mat changed;
      cv::absdiff(picture, cv::Scalar::all(128), changed);
      CHECK(cv::countNonZero(changed.reshape(1)) > 1000);
    }
  }
  CHECK_NOTHROW(app::draw_overlay(cv::Mat(20, 30, CV_8UC1, cv::Scalar(0)), seen(), station(), hoop()));
}

// Guarantees: the lines show on black and on white cloth alike: along the field's edge the picture holds both a light
// line and a dark halo.
TEST_CASE("lines stand out on dark and on light cloth", "[overlay]") {
  for (const int shade : {0, 255}) {
    const cv::Mat picture =
        app::draw_overlay(cv::Mat(800, 1000, CV_8UC1, cv::Scalar(shade)), seen(), station(), hoop());
    cv::Mat across;
    cv::cvtColor(picture(cv::Rect(435, 440, 20, 1)), across, cv::COLOR_BGR2GRAY);
    double least = 0.0, most = 0.0;
    cv::minMaxLoc(across, &least, &most);
    CHECK(most - least > 150.0);
  }
}
