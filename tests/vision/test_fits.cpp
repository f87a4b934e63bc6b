#include <array>
#include <cmath>
#include <limits>
#include <random>
#include <vector>

#include "tests/catch.h"
#include "vision/fits.h"

using namespace vision;

namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

std::vector<cv::Point2d> moved(const std::vector<cv::Point2d>& points, const Pose2& pose) {
  std::vector<cv::Point2d> out;
  for (const cv::Point2d& p : points) out.push_back(apply(pose, p));
  return out;
}

std::vector<cv::Point2d> on_ellipse(cv::Point2d centre, double a, double b, double angle_rad, double from, double to,
                                    int count) {
  std::vector<cv::Point2d> points;
  for (int i = 0; i < count; ++i) {
    const double t = from + (to - from) * i / count;
    points.push_back(apply(Pose2{centre, angle_rad}, {a * std::cos(t), b * std::sin(t)}));
  }
  return points;
}

}  // namespace

// Guarantees: the line's direction runs as the points do. Example failure: points listed to the left point right.
TEST_CASE("a line points from its first point to its last", "[fits][sign]") {
  const std::vector<cv::Point2d> points{{3, 1}, {2, 1}, {1, 1}, {0, 1}};
  const LineFit fit = fit_line(points);
  REQUIRE(fit.status == FitStatus::ok);
  CHECK_THAT(fit.direction.x, WithinAbs(-1.0, 1e-12));
  CHECK_THAT(fit.direction.y, WithinAbs(0.0, 1e-12));
  CHECK_THAT(fit.point.x, WithinAbs(1.5, 1e-12));
  CHECK_THAT(fit.rms, WithinAbs(0.0, 1e-12));
}

// Guarantees: steep lines are fitted as well as flat ones, where a regression of y on x breaks down.
TEST_CASE("lines of every direction are found", "[fits]") {
  for (int i = 0; i < 36; ++i) {
    const double angle = i * kPi / 18.0;
    const cv::Point2d along(std::cos(angle), std::sin(angle)), start(1000.0, -500.0);
    const std::vector<cv::Point2d> points{start, start + 2.0 * along, start + 7.0 * along};
    const LineFit fit = fit_line(points);
    REQUIRE(fit.status == FitStatus::ok);
    CHECK_THAT(fit.direction.x, WithinAbs(along.x, 1e-9));
    CHECK_THAT(fit.direction.y, WithinAbs(along.y, 1e-9));
  }
}

TEST_CASE("a line needs points that have a direction", "[fits][degenerate]") {
  CHECK(fit_line(std::vector<cv::Point2d>{}).status == FitStatus::too_few_points);
  CHECK(fit_line(std::vector<cv::Point2d>{{1, 1}}).status == FitStatus::too_few_points);
  CHECK(fit_line(std::vector<cv::Point2d>{{1, 1}, {1, 1}, {1, 1}}).status == FitStatus::degenerate);
  CHECK(fit_line(std::vector<cv::Point2d>{{0, 0}, {1, 0}, {1, 1}, {0, 1}}).status == FitStatus::degenerate);
  CHECK(fit_line(std::vector<cv::Point2d>{{0, 0}, {kNaN, 0}}).status == FitStatus::not_finite);
  const std::vector<cv::Point2d> two{{0, 0}, {1, 0}};
  CHECK(fit_line(two, std::vector<double>{1.0}).status == FitStatus::not_finite);
  CHECK(fit_line(two, std::vector<double>{1.0, -1.0}).status == FitStatus::not_finite);
  CHECK(fit_line(two, std::vector<double>{1.0, 0.0}).status == FitStatus::too_few_points);
}

// Guarantees: a weight of 2 is the point twice over.
TEST_CASE("a weight counts a point that many times", "[fits]") {
  const std::vector<cv::Point2d> points{{0, 0}, {1, 0.3}, {2, -0.2}, {3, 0.1}};
  const std::vector<cv::Point2d> repeated{{0, 0}, {1, 0.3}, {1, 0.3}, {2, -0.2}, {3, 0.1}};
  const LineFit weighted = fit_line(points, std::vector<double>{1, 2, 1, 1}), plain = fit_line(repeated);
  CHECK_THAT(weighted.point.y, WithinAbs(plain.point.y, 1e-12));
  CHECK_THAT(weighted.direction.y, WithinAbs(plain.direction.y, 1e-12));
  CHECK_THAT(weighted.rms, WithinAbs(plain.rms, 1e-12));
}

// Guarantees: signs of a rigid motion. Hand-computed: b's x axis lies along a's y axis.
TEST_CASE("a quarter turn and a shift are read back with their signs", "[fits][sign]") {
  const std::vector<cv::Point2d> in_b{{0, 0}, {1, 0}, {0, 2}}, in_a{{5, -1}, {5, 0}, {3, -1}};
  const RigidFit fit = fit_rigid(in_b, in_a);
  REQUIRE(fit.status == FitStatus::ok);
  CHECK_THAT(fit.a_from_b.angle_rad, WithinAbs(kPi / 2.0, 1e-12));
  CHECK_THAT(fit.a_from_b.origin_mm.x, WithinAbs(5.0, 1e-12));
  CHECK_THAT(fit.a_from_b.origin_mm.y, WithinAbs(-1.0, 1e-12));
  CHECK_THAT(fit.rms, WithinAbs(0.0, 1e-12));
}

TEST_CASE("a rigid motion over a grid of poses is read back", "[fits]") {
  const std::vector<cv::Point2d> in_b{{12, 12}, {-12, 12}, {-12, -12}, {12, -12}, {40, 3}};
  for (double angle = -3.1; angle < 3.2; angle += 0.31) {
    const Pose2 truth{{100.0 * angle, 7.0 - angle}, angle};
    std::vector<cv::Point2d> in_a = moved(in_b, truth);
    RigidFit fit = fit_rigid(in_b, in_a);
    REQUIRE(fit.status == FitStatus::ok);
    CHECK_THAT(wrapped_rad(fit.a_from_b.angle_rad - angle), WithinAbs(0.0, 1e-12));
    CHECK_THAT(fit.a_from_b.origin_mm.x, WithinAbs(truth.origin_mm.x, 1e-9));
    for (cv::Point2d& p : in_a) p *= 1.25;
    fit = fit_rigid(in_b, in_a, {}, {.with_scale = true});
    REQUIRE(fit.status == FitStatus::ok);
    CHECK_THAT(fit.scale, WithinAbs(1.25, 1e-12));
    CHECK_THAT(fit.a_from_b.origin_mm.y, WithinAbs(1.25 * truth.origin_mm.y, 1e-9));
  }
}

TEST_CASE("mirrored points are refused, not fitted", "[fits][sign][degenerate]") {
  const std::vector<cv::Point2d> in_b{{0, 0}, {30, 0}, {30, 20}, {0, 20}};
  std::vector<cv::Point2d> in_a;
  for (const cv::Point2d& p : in_b) in_a.push_back(apply(Pose2{{3, 4}, 0.7}, {p.x, -p.y}));
  CHECK(fit_rigid(in_b, in_a).status == FitStatus::mirrored);
  CHECK(fit_rigid(in_b, in_a, {}, {.with_scale = true}).status == FitStatus::mirrored);
  // A square, mirrored, fits no rotation better than any other.
  const std::vector<cv::Point2d> square{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}},
      flipped{{1, -1}, {-1, -1}, {-1, 1}, {1, 1}};
  CHECK(fit_rigid(square, flipped).status == FitStatus::mirrored);
  CHECK(fit_rigid(square, flipped, {}, {.refuse_mirrored = false}).status == FitStatus::degenerate);
}

// Guarantees: points on a line are enough for a rigid motion, and noise about the line is no mirror.
TEST_CASE("points on a line hold a rigid motion", "[fits][degenerate]") {
  std::mt19937 random(7);
  std::normal_distribution<double> noise(0.0, 0.02);
  for (int trial = 0; trial < 200; ++trial) {
    std::vector<cv::Point2d> in_b, in_a;
    for (int i = 0; i < 3; ++i) {
      in_b.push_back({10.0 * i, noise(random)});
      in_a.push_back({5.0 + noise(random), 10.0 * i});
    }
    const RigidFit fit = fit_rigid(in_b, in_a);
    REQUIRE(fit.status == FitStatus::ok);
    CHECK_THAT(fit.a_from_b.angle_rad, WithinAbs(kPi / 2.0, 0.02));
  }
}

TEST_CASE("a rigid motion needs two points apart", "[fits][degenerate]") {
  const std::vector<cv::Point2d> same{{4, 4}, {4, 4}, {4, 4}}, apart{{0, 0}, {1, 0}, {0, 1}}, one{{0, 0}};
  CHECK(fit_rigid(same, apart).status == FitStatus::degenerate);
  CHECK(fit_rigid(apart, same).status == FitStatus::degenerate);
  CHECK(fit_rigid(one, one).status == FitStatus::too_few_points);
  CHECK(fit_rigid(apart, one).status == FitStatus::not_finite);
  CHECK(fit_rigid(apart, std::vector<cv::Point2d>{{0, 0}, {1, kNaN}, {0, 1}}).status == FitStatus::not_finite);
}

// Guarantees: the stated covariance is that of the scatter of repeated fits, correlations included.
TEST_CASE("the rigid fit's covariance is that of repeated fits", "[fits][covariance]") {
  const std::vector<cv::Point2d> in_b{{50, 10}, {62, 10}, {62, 22}, {50, 22}};
  const Pose2 truth{{3.0, -8.0}, 0.9};
  const std::vector<cv::Point2d> exact = moved(in_b, truth);
  std::mt19937 random(11);
  std::normal_distribution<double> noise(0.0, 0.01);
  Covariance3 sum = Covariance3::zeros(), stated = Covariance3::zeros();
  constexpr int trials = 20000;
  for (int i = 0; i < trials; ++i) {
    std::vector<cv::Point2d> in_a = exact;
    for (cv::Point2d& p : in_a) p += cv::Point2d(noise(random), noise(random));
    const RigidFit fit = fit_rigid(in_b, in_a);
    const cv::Vec3d d(fit.a_from_b.origin_mm.x - truth.origin_mm.x, fit.a_from_b.origin_mm.y - truth.origin_mm.y,
                      fit.a_from_b.angle_rad - truth.angle_rad);
    sum += d * d.t();
    stated += fit.unit_covariance * (fit.sigma0 * fit.sigma0);
  }
  for (int r = 0; r < 3; ++r)
    for (int c = 0; c < 3; ++c) CHECK_THAT(sum(r, c), WithinRel(stated(r, c), 0.05));  // 1 % by chance, k = 5
}

TEST_CASE("short arcs and full turns give their circle", "[fits]") {
  for (const double arc : {0.2, 1.0, 3.0, 2.0 * kPi}) {
    const CircleFit fit = fit_circle(on_ellipse({400, -300}, 75, 75, 0.0, 0.3, 0.3 + arc, 40));
    REQUIRE(fit.status == FitStatus::ok);
    CHECK_THAT(fit.centre.x, WithinAbs(400.0, 1e-6));
    CHECK_THAT(fit.centre.y, WithinAbs(-300.0, 1e-6));
    CHECK_THAT(fit.radius, WithinAbs(75.0, 1e-6));
  }
}

TEST_CASE("a circle needs three points that are not on a line", "[fits][degenerate]") {
  CHECK(fit_circle(std::vector<cv::Point2d>{{0, 0}, {1, 0}}).status == FitStatus::too_few_points);
  CHECK(fit_circle(std::vector<cv::Point2d>{{0, 0}, {1, 1}, {2, 2}, {5, 5}}).status == FitStatus::degenerate);
  CHECK(fit_circle(std::vector<cv::Point2d>{{2, 2}, {2, 2}, {2, 2}}).status == FitStatus::degenerate);
  CHECK(fit_circle(std::vector<cv::Point2d>{{0, 0}, {1, 0}, {0, kNaN}}).status == FitStatus::not_finite);
  const CircleFit three = fit_circle(std::vector<cv::Point2d>{{1, 0}, {0, 1}, {-1, 0}});
  REQUIRE(three.status == FitStatus::ok);
  CHECK_THAT(three.radius, WithinAbs(1.0, 1e-12));
}

// Guarantees: the sign of an ellipse's angle: counter-clockwise from +x to the long axis, in (-90, 90] degrees.
TEST_CASE("ellipses of every direction are found", "[fits][sign]") {
  for (int i = -8; i <= 9; ++i) {
    const double angle = i * kPi / 18.0;
    const EllipseFit fit = fit_ellipse(on_ellipse({20, 30}, 60, 40, angle, 0.0, 2.0 * kPi, 50));
    REQUIRE(fit.status == FitStatus::ok);
    CHECK_THAT(wrapped_rad(2.0 * (fit.angle_rad - angle)), WithinAbs(0.0, 1e-7));
    CHECK(std::abs(fit.angle_rad) <= kPi / 2.0);
    CHECK_THAT(fit.centre.x, WithinAbs(20.0, 1e-6));
    CHECK_THAT(fit.long_half_axis, WithinAbs(60.0, 1e-6));
    CHECK_THAT(fit.short_half_axis, WithinAbs(40.0, 1e-6));
  }
}

TEST_CASE("an ellipse needs five points that hold it", "[fits][degenerate]") {
  CHECK(fit_ellipse(std::vector<cv::Point2d>{{0, 0}, {1, 0}, {1, 1}, {0, 1}}).status == FitStatus::too_few_points);
  std::vector<cv::Point2d> line;
  for (int i = 0; i < 9; ++i) line.push_back({1.0 * i, 2.0 * i});
  CHECK(fit_ellipse(line).status == FitStatus::degenerate);
  CHECK(fit_ellipse(std::vector<cv::Point2d>(9, {1, 1})).status == FitStatus::degenerate);
  line[3].x = kNaN;
  CHECK(fit_ellipse(line).status == FitStatus::not_finite);
}

// Guarantees: the nearest point is nearer than any other of a dense walk, inside, outside, on the axes.
TEST_CASE("the nearest point of an ellipse is the nearest", "[fits]") {
  for (const double a : {5.0, 2.0, 1.0}) {
    const double b = 2.0;
    for (double x = -7; x <= 7; x += 0.5) {
      for (double y = -7; y <= 7; y += 0.5) {
        const cv::Point2d foot = nearest_on_ellipse(a, b, {x, y});
        REQUIRE_THAT(foot.x * foot.x / (a * a) + foot.y * foot.y / (b * b), WithinAbs(1.0, 1e-9));
        double walked = 1e9;
        for (int i = 0; i < 720; ++i) {
          const double t = i * kPi / 360.0;
          walked = std::min(walked, std::hypot(a * std::cos(t) - x, b * std::sin(t) - y));
        }
        REQUIRE(std::hypot(foot.x - x, foot.y - y) <= walked + 1e-9);
      }
    }
  }
}
