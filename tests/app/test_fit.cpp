#include <cmath>
#include <limits>
#include <vector>

#include "app/fit/fit.h"
#include "tests/catch.h"

using app::Design;
using app::Field;
using app::Fit;
using vision::kRadPerDeg;
using vision::Pose2;

namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
const Field kRectangle{Field::Shape::rectangle, {130.0, 180.0}, 0.0};
const Field kRounded{Field::Shape::rounded_rectangle, {130.0, 180.0}, 20.0};
const Field kRound{Field::Shape::oval, {120.0, 120.0}, 0.0};
const Field kOval{Field::Shape::oval, {200.0, 140.0}, 0.0};

Design box(double width, double height) { return app::rectangle_design({width, height}); }

Design hull(std::vector<cv::Point2d> points) {
  Design design;
  design.hull_mm = std::move(points);
  return design;
}

// Fits where it is proposed to, and the slide, turn and both together are ordered as they must be.
void consistent(const Design& design, const Field& field, const Pose2& pose, const app::FitOptions& options = {}) {
  const Fit fit = app::fit(design, field, pose, options);
  const double reach = app::reach_mm(design);
  CAPTURE(reach, field.size_mm.width, static_cast<int>(field.shape), pose.origin_mm.x);
  REQUIRE(fit.hoop_from_design_nearest);
  const auto gap = [&](const Pose2& at) { return app::gap_mm(design, field, at, options); };
  CHECK(gap(*fit.hoop_from_design_nearest) >= -1e-9);
  const cv::Point2d slide = fit.hoop_from_design_nearest->origin_mm - pose.origin_mm;
  const double nearest =
      std::hypot(std::hypot(slide.x, slide.y),
                 reach * vision::wrapped_rad(fit.hoop_from_design_nearest->angle_rad - pose.angle_rad));
  if (fit.slide_mm) {
    CHECK(gap({pose.origin_mm + *fit.slide_mm, pose.angle_rad}) >= -1e-9);
    CHECK(nearest <= std::hypot(fit.slide_mm->x, fit.slide_mm->y) + 1e-7);
  }
  if (fit.turn_deg) {
    CHECK(gap({pose.origin_mm, pose.angle_rad + *fit.turn_deg * kRadPerDeg}) >= -1e-9);
    CHECK(nearest <= reach * std::abs(*fit.turn_deg) * kRadPerDeg + 1e-7);
  }
}

}  // namespace

// By hand: 100 x 60 in 130 x 180, moved right by 5: 65 - 55 - 2 = 8 to the right edge.
TEST_CASE("a design that fits has its smallest gap said", "[fit][sign]") {
  const Fit fit = app::fit(box(100.0, 60.0), kRectangle, {{5.0, 0.0}, 0.0});
  CHECK(fit.fits);
  CHECK(fit.fits_straight);
  CHECK_THAT(fit.gap_mm, WithinAbs(8.0, 1e-12));
  CHECK_THAT(fit.at_mm.x, WithinAbs(55.0, 1e-12));
  CHECK_THAT(fit.on_edge_mm.x, WithinAbs(65.0, 1e-12));
  CHECK_FALSE(fit.slide_mm);
  CHECK_FALSE(fit.turn_deg);
  CHECK_FALSE(fit.hoop_from_design_nearest);
}

// By hand: moved right by 20 its edge is at 70, which is 5 beyond the field and 7 beyond the clearance.
TEST_CASE("a design that sticks out is slid back by what it sticks out", "[fit][sign]") {
  const Fit fit = app::fit(box(100.0, 60.0), kRectangle, {{20.0, 0.0}, 0.0});
  CHECK_FALSE(fit.fits);
  CHECK_THAT(fit.gap_mm, WithinAbs(-7.0, 1e-12));
  REQUIRE(fit.slide_mm);
  CHECK_THAT(fit.slide_mm->x, WithinAbs(-7.0, 2e-9));
  CHECK_THAT(fit.slide_mm->y, WithinAbs(0.0, 2e-9));
  // Turned by phi about (20, 0) it reaches 50 cos phi + 30 sin phi to the right, of 43 that are free.
  REQUIRE(fit.turn_deg);
  const double phi = std::abs(*fit.turn_deg) * kRadPerDeg;
  CHECK_THAT(50.0 * std::cos(phi) + 30.0 * std::sin(phi), WithinAbs(43.0, 1e-8));
  CHECK(phi > std::atan2(30.0, 50.0));
  consistent(box(100.0, 60.0), kRectangle, {{20.0, 0.0}, 0.0});
}

// By hand: a design of 120 x 120 in a field of 130 x 180, turned by 10 degrees counter-clockwise at the middle, must
// turn back clockwise until 60 (cos + sin) = 63.
TEST_CASE("the smallest turn has the sense that turns back", "[fit][sign]") {
  const double t = std::asin(63.0 / (60.0 * std::sqrt(2.0))) / kRadPerDeg - 45.0;
  const Fit left = app::fit(box(120.0, 120.0), kRectangle, {{0.0, 0.0}, 10.0 * kRadPerDeg});
  REQUIRE(left.turn_deg);
  CHECK_THAT(*left.turn_deg, WithinAbs(t - 10.0, 1e-8));
  const Fit right = app::fit(box(120.0, 120.0), kRectangle, {{0.0, 0.0}, -10.0 * kRadPerDeg});
  REQUIRE(right.turn_deg);
  CHECK_THAT(*right.turn_deg, WithinAbs(10.0 - t, 1e-8));
  CHECK_FALSE(left.slide_mm);
}

// By hand: in a circle the corner alone decides, and a turn about a centre in the middle helps nothing.
TEST_CASE("in a round field the far corner decides", "[fit]") {
  const Fit fit = app::fit(box(90.0, 80.0), kRound, {{0.0, 0.0}, 0.3});
  CHECK_THAT(fit.gap_mm, WithinAbs(58.0 - std::hypot(45.0, 40.0), 1e-12));
  CHECK_FALSE(fit.slide_mm);
  CHECK_FALSE(fit.turn_deg);
  CHECK_FALSE(fit.hoop_from_design_nearest);
  CHECK_FALSE(fit.fits_straight);
  // Moved out of the middle along its own x axis it goes back until both corners touch.
  const Fit moved = app::fit(box(60.0, 40.0), kRound, {{40.0, 0.0}, 0.0});
  REQUIRE(moved.slide_mm);
  CHECK_THAT(moved.slide_mm->x, WithinAbs(std::sqrt(58.0 * 58.0 - 400.0) - 30.0 - 40.0, 1e-8));
  CHECK_THAT(moved.slide_mm->y, WithinAbs(0.0, 1e-6));
}

// By hand: a point on the oval's axis; the erosion by 2 mm reaches to 98 there, and 68 upwards.
TEST_CASE("in an oval field distances are those to the ellipse", "[fit]") {
  CHECK_THAT(app::fit(hull({{0.0, 0.0}}), kOval, {{90.0, 0.0}, 0.0}).gap_mm, WithinAbs(8.0, 1e-12));
  CHECK_THAT(app::fit(hull({{0.0, 0.0}}), kOval, {{0.0, -60.0}, 0.0}).gap_mm, WithinAbs(8.0, 1e-12));
  // On the normal of (100 cos u, 70 sin u), 5 mm outside.
  const double u = 0.7;
  const cv::Point2d on(100.0 * std::cos(u), 70.0 * std::sin(u)), gradient(std::cos(u) / 100.0, std::sin(u) / 70.0);
  const cv::Point2d normal = gradient / std::hypot(gradient.x, gradient.y);
  const Fit fit = app::fit(hull({{0.0, 0.0}}), kOval, {on + 5.0 * normal, 0.0});
  CHECK_THAT(fit.gap_mm, WithinAbs(-7.0, 1e-10));
  CHECK_THAT(fit.on_edge_mm.x, WithinAbs(on.x, 1e-9));
  REQUIRE(fit.slide_mm);
  CHECK_THAT(fit.slide_mm->x, WithinAbs(-7.0 * normal.x, 1e-8));
  CHECK_THAT(fit.slide_mm->y, WithinAbs(-7.0 * normal.y, 1e-8));
}

TEST_CASE("slide, turn and both together fit, and both together are no further", "[fit]") {
  for (const Field& field : {kRectangle, kRounded, kRound, kOval})
    for (const double angle : {0.0, 12.0, -40.0, 90.0, 175.0})
      for (const cv::Point2d at : {cv::Point2d(60.0, 10.0), cv::Point2d(-45.0, 55.0), cv::Point2d(300.0, -200.0)})
        consistent(hull({{-40.0, -15.0}, {35.0, -22.0}, {42.0, 12.0}, {-10.0, 25.0}}), field, {at, angle * kRadPerDeg});
}

// What touches fits; by a millionth more it does not.
TEST_CASE("a design that touches exactly fits", "[fit][degenerate]") {
  CHECK(app::fit(box(126.0, 176.0), kRectangle, {}).fits);
  CHECK_FALSE(app::fit(box(126.0, 176.0 + 1e-6), kRectangle, {}).fits);
  const Fit turned = app::fit(box(126.0, 176.0), kRectangle, {{1.0, -2.0}, 3.0 * kRadPerDeg});
  CHECK_FALSE(turned.fits);
  CHECK_FALSE(turned.slide_mm);
  CHECK_FALSE(turned.turn_deg);
  REQUIRE(turned.hoop_from_design_nearest);
  CHECK_THAT(turned.hoop_from_design_nearest->angle_rad, WithinAbs(0.0, 1e-8));
  CHECK_THAT(turned.hoop_from_design_nearest->origin_mm.x, WithinAbs(0.0, 1e-8));
  CHECK(app::fit(box(130.0, 180.0), kRectangle, {}, {0.0}).fits);
  CHECK(app::fit(box(116.0, 0.0), kRound, {}).fits);
  const Fit diagonal = app::fit(box(116.0, 0.0), kRound, {{1.0, 0.0}, 0.5});
  REQUIRE(diagonal.slide_mm);
  CHECK_THAT(diagonal.slide_mm->x, WithinAbs(-1.0, 1e-3));  // what counts as touching leaves sqrt(2 58 kTouch_mm)
}

TEST_CASE("a design larger than the field has no way to fit", "[fit][degenerate]") {
  for (const Field& field : {kRectangle, kRounded, kRound, kOval}) {
    const Fit fit = app::fit(box(250.0, 200.0), field, {{10.0, 0.0}, 0.1});
    CHECK_FALSE(fit.fits);
    CHECK_FALSE(fit.slide_mm);
    CHECK_FALSE(fit.turn_deg);
    CHECK_FALSE(fit.hoop_from_design_nearest);
    CHECK_FALSE(fit.fits_straight);
    CHECK(fit.gap_mm < -25.0);
  }
  // A clearance that leaves nothing of the field.
  const Fit none = app::fit(hull({{0.0, 0.0}}), kRound, {}, {60.5});
  CHECK_FALSE(none.fits);
  CHECK_THAT(none.gap_mm, WithinAbs(-0.5, 1e-12));
  CHECK_FALSE(none.hoop_from_design_nearest);
  CHECK(app::fit(hull({{0.0, 0.0}}), kRound, {}, {60.0}).fits);
}

TEST_CASE("a hull of one or two points is a hull", "[fit][degenerate]") {
  for (const Field& field : {kRectangle, kRounded, kRound, kOval}) {
    CHECK(app::fit(hull({{0.0, 0.0}}), field, {}).fits);
    consistent(hull({{0.0, 0.0}}), field, {{200.0, 30.0}, 1.0});
    consistent(hull({{30.0, 10.0}}), field, {{90.0, 30.0}, 1.0});
    consistent(hull({{-50.0, 0.0}, {50.0, 0.0}}), field, {{75.0, 20.0}, 0.2});
  }
  const Fit point = app::fit(hull({{0.0, 0.0}}), kRectangle, {{70.0, 0.0}, 1.0});
  CHECK_FALSE(point.turn_deg);
  REQUIRE(point.slide_mm);
  CHECK_THAT(point.slide_mm->x, WithinAbs(-7.0, 2e-9));
}

TEST_CASE("what is no number does not fit, and nothing is proposed", "[fit][degenerate]") {
  const Design good = box(50.0, 50.0);
  const Field no_field{Field::Shape::rectangle, {0.0, 100.0}, 0.0};
  const Field odd_corner{Field::Shape::rounded_rectangle, {100.0, 100.0}, 60.0};
  const Field nan_field{Field::Shape::oval, {kNan, 100.0}, 0.0};
  const auto refused = [](const Fit& fit) {
    return !fit.fits && std::isnan(fit.gap_mm) && !fit.slide_mm && !fit.turn_deg && !fit.hoop_from_design_nearest &&
           !fit.fits_straight;
  };
  CHECK(refused(app::fit(hull({}), kRectangle, {})));
  CHECK(refused(app::fit(hull({{0.0, kNan}, {1.0, 1.0}}), kOval, {})));
  CHECK(refused(app::fit(good, kRound, {{kNan, 0.0}, 0.0})));
  CHECK(refused(app::fit(good, kRound, {{0.0, 0.0}, kNan})));
  CHECK(refused(app::fit(good, kRound, {{0.0, std::numeric_limits<double>::infinity()}, 0.0})));
  CHECK(refused(app::fit(good, kRectangle, {}, {kNan})));
  CHECK(refused(app::fit(good, kRectangle, {}, {-1.0})));
  for (const Field& field : {no_field, odd_corner, nan_field}) CHECK(refused(app::fit(good, field, {})));
}
