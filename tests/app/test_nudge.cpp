// Signs of what the operator is told to do, by cases worked out by hand on paper.
#include <cmath>

#include "app/nudge.h"
#include "tests/catch.h"
#include "vision/geometry.h"

namespace {

vision::Reading reading(double x_mm, double y_mm, double rotation_deg) {
  vision::Reading r;
  r.offset_x_mm = x_mm;
  r.offset_y_mm = y_mm;
  r.rotation_deg = rotation_deg;
  return r;
}

vision::Pose2 hoop_turned(double ccw_deg) { return {{12.0, -7.0}, ccw_deg * vision::kRadPerDeg}; }

}  // namespace

// Guarantees: the cloth is sent toward the hoop's centre. Example failure: a sticker too far right is sent further
// right.
TEST_CASE("a sticker 3.2 mm too far right asks for a slide to the left", "[nudge][sign]") {
  const app::Nudge n = app::nudge(reading(3.2, 0.0, 0.0), hoop_turned(0.0));
  CHECK_THAT(n.right_mm, WithinAbs(-3.2, 1e-12));
  CHECK_THAT(n.away_mm, WithinAbs(0.0, 1e-12));
  CHECK(app::slide_right_instruction(-3.2, 1).sentence == "slide 3.2 mm left");
  CHECK(app::slide_right_instruction(-3.2, 1).caption == "Slide left");
}

TEST_CASE("a sticker 2.1 mm too near asks for a slide away from the operator", "[nudge][sign]") {
  const app::Nudge n = app::nudge(reading(0.0, -2.1, 0.0), hoop_turned(0.0));
  CHECK_THAT(n.right_mm, WithinAbs(0.0, 1e-12));
  CHECK_THAT(n.away_mm, WithinAbs(2.1, 1e-12));
  CHECK(app::slide_away_instruction(2.1, 1).sentence == "slide 2.1 mm away from you");
  CHECK(app::slide_away_instruction(-2.1, 1).sentence == "slide 2.1 mm toward you");
}

// Counter-clockwise seen from the camera is counter-clockwise seen by the operator: both look from above.
TEST_CASE("a sticker turned counter-clockwise asks for a clockwise turn", "[nudge][sign]") {
  CHECK_THAT(app::nudge(reading(0.0, 0.0, 1.7), hoop_turned(0.0)).turn_ccw_deg, WithinAbs(-1.7, 1e-12));
  CHECK(app::turn_instruction(-1.7, 1).sentence == "turn the cloth 1.7° clockwise");
  CHECK(app::turn_instruction(1.7, 1).sentence == "turn the cloth 1.7° counter-clockwise");
}

// The hoop's east then points to the operator's left and its north toward the operator.
TEST_CASE("on a hoop turned by 180 degrees the slides are the other way, the turn is not", "[nudge][sign]") {
  const app::Nudge n = app::nudge(reading(3.2, -2.1, 1.7), hoop_turned(180.0));
  CHECK_THAT(n.right_mm, WithinAbs(3.2, 1e-12));
  CHECK_THAT(n.away_mm, WithinAbs(-2.1, 1e-12));
  CHECK_THAT(n.turn_ccw_deg, WithinAbs(-1.7, 1e-12));
}

// The hoop's east then points away from the operator and its north to the operator's left.
TEST_CASE("on a hoop turned by 90 degrees counter-clockwise the axes swap", "[nudge][sign]") {
  const app::Nudge east = app::nudge(reading(3.0, 0.0, 0.0), hoop_turned(90.0));
  CHECK_THAT(east.right_mm, WithinAbs(0.0, 1e-12));
  CHECK_THAT(east.away_mm, WithinAbs(-3.0, 1e-12));
  const app::Nudge north = app::nudge(reading(0.0, 2.0, 0.0), hoop_turned(90.0));
  CHECK_THAT(north.right_mm, WithinAbs(2.0, 1e-12));
  CHECK_THAT(north.away_mm, WithinAbs(0.0, 1e-12));
}

// Guarantees: doing what is said brings the sticker's cross onto the hoop's centre and its arrow onto north, for any
// pose of the hoop. The cloth's motion: a turn about the cross, then the slide.
TEST_CASE("following the nudge leaves nothing to read", "[nudge]") {
  for (double hoop_deg = -170.0; hoop_deg <= 180.0; hoop_deg += 35.0) {
    for (double rotation_deg : {-120.0, -3.0, 0.0, 0.4, 95.0}) {
      const vision::Pose2 board_from_hoop = hoop_turned(hoop_deg);
      const vision::Pose2 hoop_from_sticker{{4.5, -11.0}, rotation_deg * vision::kRadPerDeg};
      const vision::Pose2 before = vision::compose(board_from_hoop, hoop_from_sticker);
      const app::Nudge n = app::nudge(reading(4.5, -11.0, rotation_deg), board_from_hoop);
      const vision::Pose2 after{before.origin_mm + cv::Point2d(n.right_mm, n.away_mm),
                                before.angle_rad + n.turn_ccw_deg * vision::kRadPerDeg};
      const vision::Pose2 left = vision::compose(vision::inverse(board_from_hoop), after);
      CHECK_THAT(left.origin_mm.x, WithinAbs(0.0, 1e-9));
      CHECK_THAT(left.origin_mm.y, WithinAbs(0.0, 1e-9));
      CHECK_THAT(vision::wrapped_rad(left.angle_rad), WithinAbs(0.0, 1e-9));
    }
  }
}

TEST_CASE("nothing to do is said, not shown as a direction", "[nudge]") {
  CHECK(app::slide_right_instruction(0.0, 1).caption == "On the line");
  CHECK(app::slide_away_instruction(0.0, 1).digits == "0.0");
  CHECK(app::turn_instruction(0.0, 1).caption == "Straight");
}

// Guarantees: "within" is never said while it is not so. Example failure: 3.05 mm shown as within 3 mm.
TEST_CASE("the tolerance is left at once and come back to with a margin", "[nudge]") {
  app::WithinTolerance within;
  const app::Tolerance tolerance;  // 3 mm, 1 degree
  within.update(reading(2.9, 0.0, 0.97), tolerance);
  CHECK_FALSE(within.slide());  // 2.9 > 2.85: not yet come in
  CHECK_FALSE(within.turn());
  within.update(reading(1.6, 2.2, -0.5), tolerance);  // 2.72 mm
  CHECK(within.both());
  within.update(reading(2.99, 0.0, 0.99), tolerance);
  CHECK(within.both());
  within.update(reading(2.2, 2.2, 1.01), tolerance);  // 3.11 mm
  CHECK_FALSE(within.slide());
  CHECK_FALSE(within.turn());
}

TEST_CASE("a value on a step's edge does not flicker", "[nudge]") {
  app::SteadyNumber number;
  const double first = number.show(3.249);
  CHECK_THAT(first, WithinAbs(3.2, 1e-12));
  for (double value : {3.251, 3.245, 3.26, 3.24, 3.27, 3.18}) CHECK(number.show(value) == first);
  CHECK_THAT(number.show(3.28), WithinAbs(3.3, 1e-12));
}

TEST_CASE("a shown number is never further off than three quarters of its step", "[nudge]") {
  app::SteadyNumber number;
  for (int i = 0; i < 4000; ++i) {
    const double value = 25.0 * std::sin(0.013 * i) + 0.03 * std::sin(1.7 * i);
    const double shown = number.show(value);
    const double step = number.decimals() == 1 ? 0.1 : 1.0;
    CHECK(std::abs(shown - value) <= 0.75 * step + 1e-9);
    CHECK((number.decimals() == 1) == (std::abs(shown) < 9.95));
  }
}

TEST_CASE("from ten upward whole numbers are shown, and back with a margin", "[nudge]") {
  app::SteadyNumber number;
  CHECK_THAT(number.show(12.4), WithinAbs(12.0, 1e-12));
  CHECK(number.decimals() == 0);
  number.show(9.8);
  CHECK(number.decimals() == 0);
  CHECK_THAT(number.show(9.6), WithinAbs(9.6, 1e-12));
  CHECK(number.decimals() == 1);
  CHECK_THAT(number.show(-124.0), WithinAbs(-124.0, 1e-12));
}
