// What follows from a line on the cloth: what the hands are to do, in numbers and words; and the ruler.
#include "app/render/demo_station.h"
#include "app/render/line_scene.h"
#include "app/render/renderer.h"
#include "app/straighten/ruler.h"
#include "app/straighten/straighten.h"
#include "app/straighten/straighten_words.h"
#include "app/work/hoop_reader.h"
#include "tests/catch.h"

namespace {

using app::AlongSide;

app::LineSeen line_at(double angle_deg, double distance_mm) {
  app::LineSeen seen;
  seen.board = seen.hoop = true;
  seen.line.status = vision::LineStatus::ok;
  seen.line.line.emplace();
  vision::LinePlace& place = seen.line.line->place;
  place.angle_deg = angle_deg;
  place.distance_mm = distance_mm;
  place.u_angle_deg = 0.1;
  place.u_distance_mm = 0.2;
  place.covariance = cv::Matx22d::diag({1e-6, 0.01});
  return seen;
}

app::LineAgainstAim against(double turn_deg, double distance_mm) {
  app::LineAgainstAim line;
  line.turn_off_deg = turn_deg;
  line.distance_mm = distance_mm;
  return line;
}

}  // namespace

// Guarantees: what a person is told moves the line to where it shall be. Hand computed.
TEST_CASE("a line is told how far to turn and to slide", "[straighten][sign]") {
  // Through (0, 20), turned 2 degrees counter-clockwise; wanted through (0, 30).
  const app::LineSeen seen = line_at(2.0, 20.0 * std::cos(2.0 * vision::kRadPerDeg));
  const auto line = app::against_aim(seen, {AlongSide::north, 30.0});
  REQUIRE(line);
  CHECK_THAT(line->turn_off_deg, WithinAbs(2.0, 1e-9));
  CHECK_THAT(*line->distance_mm, WithinAbs(20.0, 1e-9));
  const app::StraightenNudge nudge = app::straighten_nudge(*line, {AlongSide::north, 30.0}, {});
  CHECK_THAT(nudge.turn_ccw_deg, WithinAbs(-2.0, 1e-9));
  CHECK_FALSE(nudge.sideways);
  CHECK_THAT(nudge.slide_mm, WithinAbs(10.0, 1e-9));
  // The hoop lies turned by a quarter: its north points to the operator's left.
  const app::StraightenNudge turned =
      app::straighten_nudge(*line, {AlongSide::north, 30.0}, {{0, 0}, vision::kPi / 2.0});
  CHECK(turned.sideways);
  CHECK_THAT(turned.slide_mm, WithinAbs(-10.0, 1e-9));
}

TEST_CASE("a line along the right side counts to the right", "[straighten][sign]") {
  // The line x = 15 runs at 90 degrees; its left is towards -x, so its distance is -15.
  const auto upright = app::against_aim(line_at(90.0, -15.0), {AlongSide::east, 0.0});
  REQUIRE(upright);
  CHECK_THAT(upright->turn_off_deg, WithinAbs(0.0, 1e-9));
  CHECK_THAT(*upright->distance_mm, WithinAbs(15.0, 1e-9));
  // The same line, turned a little so that its direction is folded to -89.
  const auto folded = app::against_aim(line_at(-89.0, 15.0), {AlongSide::east, 0.0});
  REQUIRE(folded);
  CHECK_THAT(folded->turn_off_deg, WithinAbs(1.0, 1e-9));
  CHECK_THAT(*folded->distance_mm, WithinAbs(15.0 / std::sin(89.0 * vision::kRadPerDeg), 1e-9));
  // Along the axis that it is to cross it crosses nowhere.
  CHECK_FALSE(app::against_aim(line_at(90.0, 5.0), {AlongSide::north, 0.0})->distance_mm);
}

// Guarantees: the stated uncertainty of where the line crosses the axis, against differences of the formula.
TEST_CASE("the crossing's uncertainty follows angle and distance", "[straighten]") {
  app::LineSeen seen = line_at(30.0, 25.0);
  const double sa = 0.002, sd = 0.05;
  seen.line.line->place.covariance = cv::Matx22d(sa * sa, 0.5 * sa * sd, 0.5 * sa * sd, sd * sd);
  const auto crossing = [&](double turn_rad, double shift_mm) {
    return (25.0 + shift_mm) / std::cos(30.0 * vision::kRadPerDeg + turn_rad);
  };
  const double ja = (crossing(1e-6, 0) - crossing(-1e-6, 0)) / 2e-6;
  const double jd = (crossing(0, 1e-6) - crossing(0, -1e-6)) / 2e-6;
  const double u = 2.0 * std::sqrt(ja * ja * sa * sa + jd * jd * sd * sd + ja * jd * sa * sd);
  CHECK_THAT(app::against_aim(seen, {AlongSide::north, 0.0})->u_distance_mm, WithinAbs(u, 1e-6));
}

TEST_CASE("of checks the set nearer to the side counts", "[straighten]") {
  app::LineSeen seen;
  seen.kind = app::LookKind::weave;
  seen.weave.status = vision::WeaveStatus::ok;
  seen.weave.main.emplace();
  seen.weave.main->angle_deg = -86.0;
  CHECK_THAT(app::against_aim(seen, {AlongSide::north, 0.0})->turn_off_deg, WithinAbs(-86.0, 1e-9));
  seen.weave.cross.emplace();
  seen.weave.cross->angle_deg = 3.5;
  CHECK_THAT(app::against_aim(seen, {AlongSide::north, 0.0})->turn_off_deg, WithinAbs(3.5, 1e-9));
  CHECK_THAT(app::against_aim(seen, {AlongSide::east, 0.0})->turn_off_deg, WithinAbs(4.0, 1e-9));
  CHECK_FALSE(app::against_aim(seen, {AlongSide::east, 0.0})->distance_mm);
  seen.weave.status = vision::WeaveStatus::no_direction;
  CHECK_FALSE(app::against_aim(seen, {AlongSide::east, 0.0}));
}

TEST_CASE("frames are averaged while the cloth lies still", "[straighten]") {
  app::LineAverage average;
  for (int i = 0; i < 8; ++i) average.see(against(1.0 + (i % 2 == 0 ? 0.04 : -0.04), 20.0 + (i % 2 == 0 ? 0.1 : -0.1)));
  REQUIRE(average.now());
  CHECK(average.frames() == 8);
  CHECK_THAT(average.now()->turn_off_deg, WithinAbs(1.0, 1e-9));
  CHECK_THAT(*average.now()->distance_mm, WithinAbs(20.0, 1e-9));
  // Slid by 2 mm: the numbers follow at once.
  average.see(against(1.0, 22.0));
  CHECK(average.frames() == 1);
  CHECK_THAT(*average.now()->distance_mm, WithinAbs(22.0, 1e-9));
  // Across the fold of the angle the mean does not fall to zero.
  average.forget();
  average.see(against(89.95, 0.0));
  average.see(against(-89.95, 0.0));
  CHECK(std::abs(average.now()->turn_off_deg) > 89.9);
  for (int i = 0; i < 4; ++i) average.see(std::nullopt);
  CHECK_FALSE(average.now());
}

TEST_CASE("what to do is said in one sentence", "[straighten]") {
  using app::Units;
  CHECK(app::advice(-0.8, 1, 3.0, 1, false, Units::mm) == "Turn the cloth 0.8° clockwise, slide 3.0 mm away from you");
  CHECK(app::advice(0.0, 1, -0.12, 2, true, Units::inch) == "Slide 0.12 in left");
  CHECK(app::advice(1.2, 1, 0.0, 1, false, Units::mm) == "Turn the cloth 1.2° counter-clockwise");
  CHECK(app::advice(0.0, 1, 0.0, 1, false, Units::mm) == "Straight, and on its line");
  CHECK(app::advice(0.0, 1, std::nullopt, 1, false, Units::mm) == "Straight");
  CHECK(app::turn_off_words(-0.82) == "0.82° clockwise");
  CHECK(app::turn_off_words(0.0) == "Straight");
  CHECK(app::distance_words(-12.3, AlongSide::north, Units::mm) == "12.30 mm below the centre");
  CHECK(app::distance_words(25.4, AlongSide::east, Units::inch) == "1.000 in right of the centre");
  CHECK(app::aim_words({AlongSide::north, 30.0}, Units::mm) == "Left to right, 30 mm above");
  CHECK(app::aim_words({AlongSide::east, -25.4}, Units::inch) == "Up and down, 1.00 in to the left");
}

TEST_CASE("every reason why there is no line is said in words", "[straighten]") {
  app::LineSeen seen;
  CHECK_FALSE(app::words_of(seen).headline.empty());
  seen.board = true;
  CHECK(app::words_of(seen).headline == "The hoop is not seen");
  seen.hoop = true;
  for (int i = 0; i < vision::kLineStatusCount; ++i) {
    seen.line.status = static_cast<vision::LineStatus>(i);
    const app::StraightenWords words = app::words_of(seen);
    CHECK_FALSE(words.headline.empty());
    CHECK_FALSE(words.sentence.empty());
    CHECK(words.found == (i == 0));
  }
  seen.kind = app::LookKind::weave;
  for (int i = 0; i < vision::kWeaveStatusCount; ++i) {
    seen.weave.status = static_cast<vision::WeaveStatus>(i);
    CHECK_FALSE(app::words_of(seen).sentence.empty());
  }
}

// ---- The ruler

namespace {

vision::CameraPose demo_camera() {
  vision::CameraPose pose = app::camera_from_board(app::demo_camera_place());
  pose.covariance = cv::Matx66d::eye() * 1e-10;
  return pose;
}

app::RulerPoints seen_at(const vision::CameraPose& camera, cv::Point2d from, cv::Point2d to, double height_mm) {
  const vision::Lens lens = app::demo_station().lens;
  return {vision::image_from_board(lens, camera, {from.x, from.y, height_mm}),
          vision::image_from_board(lens, camera, {to.x, to.y, height_mm}), 1.0};
}

}  // namespace

TEST_CASE("the ruler measures on its plane", "[straighten][ruler]") {
  const vision::Lens lens = app::demo_station().lens;
  const vision::CameraPose camera = demo_camera();
  // From (-60, 10) to (20, 70): 80 to the right, 60 away, 100 long, atan(3/4) = 36.8699 degrees.
  const app::RulerPoints points = seen_at(camera, {-60, 10}, {20, 70}, 1.1);
  const auto r = app::measured_between(lens, camera, points, {1.1, 0.4, 0.0005});
  REQUIRE(r);
  CHECK_THAT(r->distance_mm, WithinAbs(100.0, 1e-6));
  CHECK_THAT(r->right_mm, WithinAbs(80.0, 1e-6));
  CHECK_THAT(r->away_mm, WithinAbs(60.0, 1e-6));
  CHECK_THAT(r->angle_deg, WithinAbs(36.8699, 1e-4));
  // Taken on a plane 10 mm lower it is longer by about 10 in the camera's height over it.
  const auto lower = app::measured_between(lens, camera, points, {-8.9, 0.4, 0.0005});
  CHECK_THAT(lower->distance_mm, WithinAbs(100.0 * 663.9 / 653.9, 0.05));
  // Two points of one pixel each, 3.4 pixels a mm: 2 * sqrt(2) / 3.4 = 0.83 mm is nearly all of it.
  CHECK_THAT(r->u_distance_mm, WithinAbs(0.84, 0.06));
  CHECK_THAT(r->u_angle_deg, WithinAbs(0.83 / 100.0 * vision::kDegPerRad, 0.03));
}

TEST_CASE("the ruler's angle keeps its sign", "[straighten][ruler][sign]") {
  const vision::CameraPose camera = demo_camera();
  const vision::Lens lens = app::demo_station().lens;
  const auto angle = [&](cv::Point2d to) {
    return app::measured_between(lens, camera, seen_at(camera, {0, 0}, to, 0.0), {})->angle_deg;
  };
  CHECK_THAT(angle({50, 50}), WithinAbs(45.0, 1e-6));
  CHECK_THAT(angle({-50, 50}), WithinAbs(135.0, 1e-6));
  CHECK_THAT(angle({0, -50}), WithinAbs(-90.0, 1e-6));
  const auto none = app::measured_between(lens, camera, seen_at(camera, {5, 5}, {5, 5}, 0.0), {});
  REQUIRE(none);
  CHECK_THAT(none->distance_mm, WithinAbs(0.0, 1e-6));
  CHECK(std::isfinite(none->u_distance_mm));
}

TEST_CASE("the ruler averages over frames", "[straighten][ruler]") {
  app::RulerAverage average;
  app::RulerReading reading;
  for (int i = 0; i < 10; ++i) {
    reading.right_mm = 30.0 + (i % 2 == 0 ? 0.2 : -0.2);
    reading.away_mm = 40.0;
    average.see(reading);
  }
  CHECK(average.frames() == 10);
  CHECK_THAT(average.now()->distance_mm, WithinAbs(50.0, 1e-9));
  CHECK_THAT(average.now()->angle_deg, WithinAbs(53.1301, 1e-4));
}

// ---- On rendered cloth

// Guarantees: the line is looked for only while it is wanted. Example failure: every frame of the day takes longer.
TEST_CASE("the reader looks at the cloth only while that is wanted", "[straighten][rendered]") {
  const vision::Hoop hoop = app::demo_hoops().front();
  const app::LineScene made = app::line_scene({hoop}, 3, app::LineSceneKind::seam);
  app::Renderer renderer(app::demo_station(), hoop);
  const cv::Mat1b grey = renderer.render(made.scene, 3);
  app::HoopReader reader(app::demo_station(), hoop, {});
  reader.read(grey);
  CHECK_FALSE(reader.line());
  reader.set_line(app::LineWanted{});
  reader.read(grey);
  REQUIRE(reader.line());
  REQUIRE(reader.line()->line.status == vision::LineStatus::ok);
  const auto line = app::against_aim(*reader.line(), {});
  REQUIRE(line);
  CHECK_THAT(std::remainder(line->turn_off_deg - made.line->angle_deg, 180.0), WithinAbs(0.0, line->u_turn_deg));
  reader.set_line(std::nullopt);
  reader.read(grey);
  CHECK_FALSE(reader.line());
}

// Guarantees: lines, weaves and boxes of rendered cloth lie where they are said to, and nothing is said where nothing
// is. hoopgauge_lines_bench does the same at large.
TEST_CASE("rendered cloths are read as they are", "[straighten][rendered]") {
  const std::vector<vision::Hoop> hoops{app::demo_hoops().front()};
  app::Renderer renderer(app::demo_station(), hoops.front());
  using Kind = app::LineSceneKind;
  const auto sight = [&](const app::LineScene& made, const cv::Mat& grey) {
    vision::Tracker tracker(app::demo_station(), hoops.front());
    return vision::cloth_sight(tracker.station(), hoops.front(), tracker.read(grey), made.scene.ring.board_from_hoop);
  };
  for (const Kind kind : {Kind::laid_fold, Kind::crease, Kind::border, Kind::towel, Kind::shadows}) {
    const app::LineScene made = app::line_scene(hoops, 1, kind);
    INFO(app::name(kind));
    const cv::Mat1b grey = renderer.render(made.scene, 1).clone();
    const auto seen = sight(made, grey);
    REQUIRE(seen);
    const vision::LineReading reading = vision::read_line(grey, *seen);
    CHECK((reading.status == vision::LineStatus::ok) == made.line.has_value());
    if (!made.line || !reading.line) continue;
    const vision::LinePlace& place = reading.line->place;
    CHECK_THAT(place.angle_deg, WithinAbs(made.line->angle_deg, 1.5 * place.u_angle_deg));
    CHECK_THAT(place.distance_mm, WithinAbs(made.line->distance_mm, 1.5 * place.u_distance_mm));
  }
  const app::LineScene box = app::line_scene(hoops, 2, Kind::basting_box);
  const cv::Mat1b stitched = renderer.render(box.scene, 2).clone();
  vision::RectangleOptions options;
  options.expected_mm = box.box_mm;
  options.turn_limit_deg = 20.0;
  const auto seen = sight(box, stitched);
  REQUIRE(seen);
  const vision::StitchedRectangle found = vision::find_stitched_rectangle(stitched, *seen, options);
  REQUIRE(found.status == vision::RectangleStatus::ok);
  CHECK(cv::norm(found.hoop_from_rectangle.origin_mm - box.hoop_from_box->origin_mm) < 0.15);
}
