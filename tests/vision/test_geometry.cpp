#include "tests/catch.h"
#include "vision/geometry.h"

using namespace vision;

// Guarantees: the direction of a pose. Example failure: a quarter turn sends x to -y.
TEST_CASE("a quarter turn sends x to y and then shifts", "[geometry][sign]") {
  const Pose2 a_from_b{{10.0, -2.0}, kPi / 2.0};
  const cv::Point2d p = apply(a_from_b, {1.0, 0.0});
  CHECK_THAT(p.x, WithinAbs(10.0, 1e-12));
  CHECK_THAT(p.y, WithinAbs(-1.0, 1e-12));
}

// Guarantees: inverse and compose agree with apply over a grid of poses.
TEST_CASE("a pose after its inverse leaves every point where it was", "[geometry]") {
  for (double angle = -3.1; angle <= 3.1; angle += 0.31) {
    const Pose2 pose{{angle * 7.0, 3.0 - angle}, angle};
    const Pose2 none = compose(pose, inverse(pose));
    CHECK_THAT(none.origin_mm.x, WithinAbs(0.0, 1e-12));
    CHECK_THAT(none.origin_mm.y, WithinAbs(0.0, 1e-12));
    CHECK_THAT(none.angle_rad, WithinAbs(0.0, 1e-12));
    const cv::Point2d back = apply_inverse(pose, apply(pose, {5.0, 6.0}));
    CHECK_THAT(back.x, WithinAbs(5.0, 1e-12));
    CHECK_THAT(back.y, WithinAbs(6.0, 1e-12));
  }
}

// Guarantees: angles come out in (-pi, pi], the closed end included.
TEST_CASE("half a turn either way reads plus half a turn", "[geometry]") {
  CHECK_THAT(wrapped_rad(-kPi), WithinAbs(kPi, 1e-15));
  CHECK_THAT(wrapped_rad(3.0 * kPi), WithinAbs(kPi, 1e-12));
}
