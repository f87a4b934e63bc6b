// Which part of the frame is shown, and that what is drawn on it lies where the picture shows it.
#include "app/screen/picture_region.h"
#include "tests/app/fake_result.h"
#include "tests/catch.h"

namespace {

constexpr SDL_FRect kArea{10.0F, 20.0F, 400.0F, 300.0F};
const cv::Size kFrame(2304, 1296);

}  // namespace

// The centre of the crop's first pixel is half a pixel inside its edge.
TEST_CASE("image points are laid on the screen where the picture shows them", "[screen][region][sign]") {
  app::PictureRegion region;
  region.crop = {100, 50, 200, 100};
  region.screen = {10, 20, 400, 200};
  const SDL_FPoint first = region.to_screen({100.0, 50.0});
  CHECK_THAT(first.x, WithinAbs(11.0, 1e-4));
  CHECK_THAT(first.y, WithinAbs(21.0, 1e-4));
  const SDL_FPoint last = region.to_screen({299.5, 149.5});
  CHECK_THAT(last.x, WithinAbs(410.0, 1e-4));
  CHECK_THAT(last.y, WithinAbs(220.0, 1e-4));
}

// Turned clockwise by a quarter, the picture's top left corner comes to the top right.
TEST_CASE("turned pictures carry their points with them", "[screen][region][sign]") {
  app::PictureRegion region;
  region.crop = {0, 0, 100, 100};
  region.screen = {0, 0, 100, 100};
  const cv::Point2d top_left(-0.5, -0.5);
  const std::array<SDL_FPoint, 4> expected{{{0.0F, 0.0F}, {100.0F, 0.0F}, {100.0F, 100.0F}, {0.0F, 100.0F}}};
  for (int turns = 0; turns < 4; ++turns) {
    region.quarter_turns = turns;
    const SDL_FPoint p = region.to_screen(top_left);
    CHECK_THAT(p.x, WithinAbs(expected[static_cast<std::size_t>(turns)].x, 1e-4));
    CHECK_THAT(p.y, WithinAbs(expected[static_cast<std::size_t>(turns)].y, 1e-4));
  }
}

TEST_CASE("the shown part lies in the frame and in its place, and is not stretched", "[screen][region]") {
  for (const cv::Rect2d& wanted : {cv::Rect2d(), cv::Rect2d(900, 500, 300, 200), cv::Rect2d(0, 0, 50, 1296),
                                   cv::Rect2d(0, 1200, 2304, 96), cv::Rect2d(2200, 1200, 104, 96)}) {
    for (int turns = 0; turns < 4; ++turns) {
      const app::PictureRegion r = app::fit_region(kFrame, wanted, turns, kArea);
      CHECK((r.crop & cv::Rect({0, 0}, kFrame)) == r.crop);
      CHECK(r.screen.x >= 10);
      CHECK(r.screen.y >= 20);
      CHECK(r.screen.x + r.screen.w <= 410);
      CHECK(r.screen.y + r.screen.h <= 320);
      const bool sideways = turns % 2 == 1;
      const double across = static_cast<double>(r.screen.w) / (sideways ? r.crop.height : r.crop.width);
      const double down = static_cast<double>(r.screen.h) / (sideways ? r.crop.width : r.crop.height);
      CHECK_THAT(across / down, WithinAbs(1.0, 0.02));
      if (!wanted.empty()) {
        CHECK(r.crop.x <= wanted.x + 1.0);
        CHECK(r.crop.br().x >= wanted.br().x - 1.0);
        CHECK(r.crop.y <= wanted.y + 1.0);
        CHECK(r.crop.br().y >= wanted.br().y - 1.0);
      }
    }
  }
}

// Guarantees: "left" on the screen is the operator's left, however the camera hangs on its post.
TEST_CASE("the board is shown with its far side up, however the camera is turned", "[screen][region][sign]") {
  const vision::Station station = fake::station();
  for (int turned_deg : {0, 90, 180, 270}) {
    vision::CameraPose pose = fake::straight_down();
    const double a = turned_deg * vision::kRadPerDeg;
    pose.rotation = cv::Matx33d(std::cos(a), -std::sin(a), 0, std::sin(a), std::cos(a), 0, 0, 0, 1) * pose.rotation;
    app::RegionChooser chooser;
    chooser.update(station, fake::no_reading(station, pose, vision::Status::no_ring));
    const app::PictureRegion region = app::fit_region(kFrame, chooser.wanted(kFrame), chooser.quarter_turns(), kArea);
    const auto at = [&](double x, double y) {
      return region.to_screen(vision::image_from_board(station.lens, pose, {x, y, 0.0}));
    };
    INFO("camera turned by " << turned_deg);
    CHECK(at(0.0, 50.0).y < at(0.0, -50.0).y - 20.0F);  // away is up
    CHECK(at(50.0, 0.0).x > at(-50.0, 0.0).x + 20.0F);  // the operator's right is right
  }
}

TEST_CASE("the shown part holds still while the camera trembles", "[screen][region]") {
  const vision::Station station = fake::station();
  app::RegionChooser chooser;
  vision::CameraPose pose = fake::straight_down();
  chooser.update(station, fake::no_reading(station, pose, vision::Status::no_ring));
  const cv::Rect2d first = chooser.wanted(kFrame);
  pose.translation_mm[0] += 2.0;
  chooser.update(station, fake::no_reading(station, pose, vision::Status::no_ring));
  CHECK(chooser.wanted(kFrame) == first);
  pose.translation_mm[0] += 40.0;
  chooser.update(station, fake::no_reading(station, pose, vision::Status::no_ring));
  CHECK(chooser.wanted(kFrame) != first);
}
