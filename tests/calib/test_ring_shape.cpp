// Simple shapes fitted to an outline's points, and the closed line through a map.
#include <cmath>
#include <opencv2/core.hpp>

#include "calib/closed_path.h"
#include "calib/outline_shapes.h"
#include "calib/ring_shape.h"
#include "tests/catch.h"

using namespace calib;

namespace {

const vision::Pose2 kPlace{{12.0, -7.5}, 0.21};

// Points of an outline at kPlace with a little noise, every tenth of them thrown far out.
std::vector<cv::Point2d> strewn(const std::vector<cv::Point2d>& outline) {
  cv::RNG random(7);
  std::vector<cv::Point2d> points;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const double out = i % 10 == 3 ? 6.0 : 0.0;
    const cv::Point2d p = outline[i] * (1.0 + out / cv::norm(outline[i]));
    points.push_back(vision::apply(kPlace, p) + cv::Point2d(random.gaussian(0.03), random.gaussian(0.03)));
  }
  return points;
}

// A rectangle's straight sides have their ends only in the outline; points along them as well.
std::vector<cv::Point2d> filled_in(const std::vector<cv::Point2d>& outline) {
  std::vector<cv::Point2d> points;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const cv::Point2d a = outline[i], d = outline[(i + 1) % outline.size()] - a;
    const int parts = std::max(1, static_cast<int>(cv::norm(d)));
    for (int k = 0; k < parts; ++k) points.push_back(a + d * (static_cast<double>(k) / parts));
  }
  return points;
}

}  // namespace

// Guarantees: each shape is recognised with its size and place, strays or not. Example failure: a circle that a few
// strays turn into an oval, whose axes then pass for the notches'.
TEST_CASE("a ring's shape is told and measured", "[teach]") {
  struct Case {
    RingShape shape;
    std::vector<cv::Point2d> outline;
    double half_width, half_height;
  };
  const std::vector<Case> cases{
      {RingShape::round, ellipse_outline(75.0, 75.0), 75.0, 75.0},
      {RingShape::oval, ellipse_outline(86.0, 60.0), 86.0, 60.0},
      {RingShape::square, filled_in(rounded_rectangle(120.0, 120.0, 20.0)), 60.0, 60.0},
      {RingShape::rectangle, filled_in(rounded_rectangle(190.0, 140.0, 30.0)), 95.0, 70.0},
  };
  for (const Case& c : cases) {
    CAPTURE(name(c.shape));
    const ShapeFit fit = fit_ring_shape(strewn(c.outline), 0.3, 0.12);
    CHECK(fit.shape == c.shape);
    CHECK(fit.fits);
    // minAreaRect may give the axes the other way round.
    CHECK_THAT(std::max(fit.half_width_mm, fit.half_height_mm), WithinAbs(std::max(c.half_width, c.half_height), 0.03));
    CHECK_THAT(std::min(fit.half_width_mm, fit.half_height_mm), WithinAbs(std::min(c.half_width, c.half_height), 0.03));
    CHECK(cv::norm(fit.board_from_shape.origin_mm - kPlace.origin_mm) < 0.02);
    if (c.shape != RingShape::round) {
      const double turn = std::remainder(fit.board_from_shape.angle_rad - kPlace.angle_rad, vision::kPi / 2.0);
      CHECK(std::abs(turn) < 0.0005);
    }
  }
}

TEST_CASE("an outline that is no simple shape is not called one", "[teach]") {
  std::vector<cv::Point2d> egg = ellipse_outline(80.0, 60.0);
  for (cv::Point2d& p : egg) p.y *= 1.0 + 0.1 * p.x / 80.0;
  CHECK_FALSE(fit_ring_shape(egg, 0.3, 0.12).fits);
  CHECK_FALSE(fit_ring_shape({}, 0.3, 0.12).fits);
  CHECK_FALSE(fit_ring_shape(std::vector<cv::Point2d>(50, cv::Point2d(1.0, 2.0)), 0.3, 0.12).fits);
}

// Hand-computed: from the tangent points of a rounded rectangle of 100 x 60 with corners of 10.
TEST_CASE("the distance to a shape is positive outside", "[teach][sign]") {
  ShapeFit fit;
  fit.shape = RingShape::rectangle;
  fit.half_width_mm = 50.0, fit.half_height_mm = 30.0, fit.radius_mm = 10.0;
  CHECK_THAT(distance_mm(fit, {52.0, 0.0}), WithinAbs(2.0, 1e-12));
  CHECK_THAT(distance_mm(fit, {0.0, -29.0}), WithinAbs(-1.0, 1e-12));
  CHECK_THAT(distance_mm(fit, {50.0, 30.0}), WithinAbs(10.0 * std::sqrt(2.0) - 10.0, 1e-12));
  fit.shape = RingShape::oval;
  CHECK_THAT(distance_mm(fit, {0.0, 31.0}), WithinAbs(1.0, 0.02));
}

// Guarantees: the line closes and prefers many good places to one very good one.
TEST_CASE("the best closed line follows a ridge around", "[teach]") {
  cv::Mat1f reward(60, 40, 0.1F);
  for (int r = 0; r < 60; ++r) {
    const int c = static_cast<int>(std::lround(20.0 + 8.0 * std::sin(2.0 * vision::kPi * r / 60.0)));
    if (r < 20 || r > 25) reward(r, c) = 1.0F;  // a gap of six
  }
  reward(22, 2) = 1.0F;
  const ClosedPath path = closed_path(reward, 1, 0.02F);
  for (int r = 0; r < 60; ++r) {
    if (r >= 20 && r <= 25) continue;
    const double expected = 20.0 + 8.0 * std::sin(2.0 * vision::kPi * r / 60.0);
    CHECK(std::abs(path.column[static_cast<std::size_t>(r)] - expected) <= 1.5);
  }
  CHECK(std::abs(path.column.front() - path.column.back()) <= 1);
  CHECK(path.mean > 0.85);
  CHECK(closed_path(cv::Mat1f(), 1, 0.02F).column.empty());
}
