// A basting box on a cloth that is drawn from a formula.
#include "tests/catch.h"
#include "tests/vision/cloth_scene.h"
#include "vision/stitched_rectangle.h"

namespace {

using namespace test_cloth;
using vision::RectangleStatus;
using vision::StitchedRectangle;

// A thread of 0.5 mm along the sides of a parallelogram: `skew_deg` leans its upright sides. Sides may be left out.
Albedo box(cv::Size2d size, const vision::Pose2& hoop_from_box, double thread, double skew_deg = 0.0,
           bool north_side = true) {
  return [=](cv::Point2d p_in_hoop) {
    cv::Point2d p = vision::apply_inverse(hoop_from_box, p_in_hoop);
    p.x += p.y * std::tan(skew_deg * vision::kRadPerDeg);
    const double x = size.width / 2.0, y = size.height / 2.0;
    double off = 1e9;
    if (std::abs(p.y) < y + 0.25) off = std::min(std::abs(p.x - x), std::abs(p.x + x));
    if (std::abs(p.x) < x + 0.25) off = std::min(off, std::abs(p.y + y));
    if (std::abs(p.x) < x + 0.25 && north_side) off = std::min(off, std::abs(p.y - y));
    return 0.25 + (thread - 0.25) * step(0.25 - off, 0.08);
  };
}

StitchedRectangle find(const Albedo& albedo, cv::Size2d expected) {
  const vision::ClothSight s = sight();
  vision::RectangleOptions options;
  options.expected_mm = expected;
  options.turn_limit_deg = 15.0;
  return vision::find_stitched_rectangle(picture(s, albedo), s, options);
}

const vision::Pose2 kPlace{{3.2, -4.7}, 7.3 * vision::kRadPerDeg};

}  // namespace

TEST_CASE("a basting box is found in place, turn and size", "[stitched_rectangle]") {
  for (const double thread : {0.6, 0.05}) {
    const StitchedRectangle r = find(box({70.0, 46.0}, kPlace, thread), {70.0, 46.0});
    INFO(vision::name(r.status));
    REQUIRE(r.status == RectangleStatus::ok);
    CHECK_THAT(r.hoop_from_rectangle.origin_mm.x, WithinAbs(3.2, 0.03));
    CHECK_THAT(r.hoop_from_rectangle.origin_mm.y, WithinAbs(-4.7, 0.03));
    CHECK_THAT(r.hoop_from_rectangle.angle_rad * vision::kDegPerRad, WithinAbs(7.3, 0.04));
    CHECK(cv::norm(r.hoop_from_rectangle.origin_mm - kPlace.origin_mm) <= r.u_offset_mm);
    CHECK_THAT(r.size_mm.width, WithinAbs(70.0, 0.08));
    CHECK_THAT(r.size_mm.height, WithinAbs(46.0, 0.08));
    CHECK(r.look_alikes == 2);
    CHECK(r.bright_thread == (thread > 0.25));
    // North-west of its own frame: (-35, 23) turned by 7.3 degrees and moved, by hand (-34.439, 13.666).
    CHECK_THAT(r.corners_in_hoop[0].x, WithinAbs(-34.439, 0.06));
    CHECK_THAT(r.corners_in_hoop[0].y, WithinAbs(13.666, 0.06));
  }
}

TEST_CASE("a square box says that it looks alike in four ways", "[stitched_rectangle]") {
  const StitchedRectangle r = find(box({60.0, 60.0}, {{0, 0}, 0.1}, 0.6), {60.0, 60.0});
  REQUIRE(r.status == RectangleStatus::ok);
  CHECK(r.look_alikes == 4);
}

TEST_CASE("boxes that will not do are refused by name", "[stitched_rectangle]") {
  // 3.5 % too wide.
  CHECK(find(box({72.5, 46.0}, kPlace, 0.6), {70.0, 46.0}).status == RectangleStatus::wrong_size);
  // Upright sides that lean by 3 degrees.
  CHECK(find(box({70.0, 46.0}, kPlace, 0.6, 3.0), {70.0, 46.0}).status == RectangleStatus::not_square);
  CHECK(find(box({70.0, 46.0}, kPlace, 0.6, 0.0, false), {70.0, 46.0}).status != RectangleStatus::ok);
  CHECK(find([](cv::Point2d) { return 0.3; }, {70.0, 46.0}).status == RectangleStatus::weak_contrast);
  CHECK(find(box({70.0, 46.0}, kPlace, 0.6), {170.0, 146.0}).status == RectangleStatus::out_of_sight);
  CHECK(find(box({70.0, 46.0}, kPlace, 0.6), {0.0, 46.0}).status == RectangleStatus::out_of_sight);
}
