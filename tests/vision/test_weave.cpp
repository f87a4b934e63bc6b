// The weave's direction on cloth that is drawn from a formula, and against the plain Fourier sum.
#include <complex>

#include "tests/catch.h"
#include "tests/vision/cloth_scene.h"
#include "vision/weave.h"

namespace {

using namespace test_cloth;
using vision::WeaveReading;
using vision::WeaveStatus;

// Level 1 within the first `share` of each period.
double stripe(double across_mm, double period_mm, double share) {
  return across_mm / period_mm - std::floor(across_mm / period_mm) < share ? 1.0 : 0.0;
}
Albedo stripes(double angle_deg, double period_mm) {
  return [=](cv::Point2d p) { return 0.2 + 0.25 * stripe(across(p, angle_deg, 0.0), period_mm, 0.4); };
}
Albedo checks(double angle_deg, double period_mm, double cross_mm) {
  return [=](cv::Point2d p) {
    return 0.15 + 0.15 * stripe(across(p, angle_deg, 0.0), period_mm, 0.45) +
           0.15 * stripe(along(p, angle_deg), cross_mm, 0.35);
  };
}

WeaveReading read(const Albedo& albedo) {
  const vision::ClothSight s = sight();
  return vision::read_weave(picture(s, albedo), s);
}

}  // namespace

TEST_CASE("stripes give their run and their period", "[weave]") {
  for (const auto& [angle, period] : {std::pair(4.3, 7.0), {-71.25, 11.5}, {88.9, 4.2}}) {
    const WeaveReading reading = read(stripes(angle, period));
    INFO(angle << " " << vision::name(reading.status));
    REQUIRE(reading.status == WeaveStatus::ok);
    CHECK_THAT(reading.main->angle_deg, WithinAbs(angle, 0.04));
    CHECK_THAT(reading.main->period_mm, WithinAbs(period, 0.01));
    CHECK(std::abs(reading.main->angle_deg - angle) <= reading.main->u_angle_deg);
    CHECK(std::abs(reading.main->period_mm - period) <= reading.main->u_period_mm);
    CHECK(reading.main->u_angle_deg < 0.3);
    CHECK_FALSE(reading.cross);
    // The bright stripe's middle: at 0.2 periods, and whole periods from there.
    CHECK_THAT(std::remainder(reading.main->distance_mm - 0.2 * period, period), WithinAbs(0.0, 0.08));
  }
}

TEST_CASE("a plaid gives two directions, squares are said to look alike", "[weave]") {
  const WeaveReading plaid = read(checks(6.0, 9.0, 13.0));
  REQUIRE(plaid.status == WeaveStatus::ok);
  REQUIRE(plaid.cross);
  CHECK_FALSE(plaid.quarter_turn_alike);
  const bool level_first = std::abs(plaid.main->angle_deg - 6.0) < 10.0;
  const vision::WeaveDirection &level = level_first ? *plaid.main : *plaid.cross,
                               &upright = level_first ? *plaid.cross : *plaid.main;
  CHECK_THAT(level.angle_deg, WithinAbs(6.0, 0.06));
  CHECK_THAT(level.period_mm, WithinAbs(9.0, 0.02));
  CHECK_THAT(upright.angle_deg, WithinAbs(-84.0, 0.06));
  CHECK_THAT(upright.period_mm, WithinAbs(13.0, 0.03));
  const WeaveReading squares = read(checks(-9.0, 8.0, 8.0));
  REQUIRE(squares.status == WeaveStatus::ok);
  CHECK(squares.quarter_turn_alike);
}

TEST_CASE("cloth that does not repeat has no direction", "[weave]") {
  CHECK(read([](cv::Point2d) { return 0.3; }).status == WeaveStatus::no_direction);
  // A single line is no weave.
  CHECK(read([](cv::Point2d p) { return 0.3 + 0.3 * bell(across(p, 3.0, 5.0), 0.4); }).status != WeaveStatus::ok);
  CHECK(read([](cv::Point2d p) { return 0.2 + 0.2 * step(across(p, 30.0, 5.0)); }).status != WeaveStatus::ok);
}

TEST_CASE("stripes that bend are refused", "[weave]") {
  // Circles about a point 260 mm away: over the opening their direction changes by a quarter of a right angle.
  const WeaveReading bent =
      read([](cv::Point2d p) { return 0.2 + 0.25 * stripe(cv::norm(p - cv::Point2d(0, -260)), 8.0, 0.4); });
  CHECK(bent.status != WeaveStatus::ok);
}

// Guarantees: the peak is that of the Fourier sum itself, found to a fraction of a bin. The reference is the plain sum
// over a laid-out patch, maximised on a fine grid.
TEST_CASE("the weave's frequency is where the Fourier sum is greatest", "[weave]") {
  const double angle = 12.34, period = 6.78;
  vision::ClothPatch patch;
  patch.mm_per_px = 0.5;
  patch.grey.create(160, 160);
  patch.usable = cv::Mat1b(160, 160, uchar(255));
  patch.first_mm = {-40.0, 40.0};
  for (int y = 0; y < 160; ++y)
    for (int x = 0; x < 160; ++x) {
      const double phase = 2.0 * vision::kPi * across(patch.at(x, y), angle, 0.0) / period;
      patch.grey(y, x) = static_cast<float>(100.0 + 20.0 * std::cos(phase));
    }
  const auto sum = [&](double a_deg, double p_mm) {
    std::complex<double> z;
    for (int y = 0; y < 160; y += 2)
      for (int x = 0; x < 160; x += 2) {
        const double phase = 2.0 * vision::kPi * across(patch.at(x, y), a_deg, 0.0) / p_mm;
        z += (static_cast<double>(patch.grey(y, x)) - 100.0) * std::complex<double>(std::cos(phase), -std::sin(phase));
      }
    return std::abs(z);
  };
  double best_angle = 0.0, best_period = 0.0, most = 0.0;
  for (int i = -10; i <= 10; ++i)
    for (int j = -10; j <= 10; ++j) {
      const double a = angle + 0.02 * i, p = period + 0.005 * j;
      if (const double size = sum(a, p); size > most) most = size, best_angle = a, best_period = p;
    }
  const WeaveReading reading = vision::weave_of(patch);
  REQUIRE(reading.status == WeaveStatus::ok);
  CHECK_THAT(reading.main->angle_deg, WithinAbs(best_angle, 0.03));
  CHECK_THAT(reading.main->period_mm, WithinAbs(best_period, 0.008));
}
