// Fit and advice in words, and what advice is given.
#include <limits>
#include <string>
#include <vector>

#include "app/answer/answer.h"
#include "app/fit/fit_advice.h"
#include "app/fit/fit_words.h"
#include "app/views/work_fit.h"
#include "tests/app/fake_result.h"
#include "tests/catch.h"

using app::Design;
using app::Fit;
using app::FitAdvice;
using app::FitWay;
using app::Units;
using vision::kRadPerDeg;
using vision::Pose2;

namespace {

vision::Hoop hoop_of(const std::string& name, double width, double height) {
  vision::Hoop hoop = fake::hoop();
  hoop.name = name;
  hoop.field_mm = {width, height};
  return hoop;
}

Fit fit_at(double width, double height, double x, double y, double deg = 0.0) {
  return app::fit(app::rectangle_design({width, height}), app::field_of(hoop_of("", 130.0, 180.0)),
                  {{x, y}, deg * kRadPerDeg});
}

FitAdvice advice_at(double width, double height, const Pose2& pose, const std::vector<vision::Hoop>& taught,
                    bool can_turn = true) {
  const Design design = app::rectangle_design({width, height});
  const vision::Hoop hoop = hoop_of("130 x 180", 130.0, 180.0);
  return app::fit_advice(app::fit(design, app::field_of(hoop), pose), design, pose, hoop,
                         {taught, app::Tolerance{3.0, 1.0}, can_turn});
}

}  // namespace

// By hand: 100 x 60 in 130 x 180 with a clearance of 2.
TEST_CASE("what is said of a fit has its side and its unit", "[fit][words][sign]") {
  CHECK(app::fit_line(fit_at(100.0, 60.0, 5.0, 0.0), Units::mm) == "Fits, 8.0 mm to spare");
  CHECK(app::fit_line(fit_at(100.0, 60.0, 5.0, 0.0), Units::inch) == "Fits, 0.31 in to spare");
  CHECK(app::fit_line(fit_at(100.0, 60.0, 20.0, 0.0), Units::mm) == "Sticks out 5.0 mm, right");
  CHECK(app::fit_line(fit_at(100.0, 60.0, -20.0, 0.0), Units::mm) == "Sticks out 5.0 mm, left");
  CHECK(app::fit_line(fit_at(100.0, 60.0, 0.0, 65.0), Units::mm) == "Sticks out 5.0 mm, top");
  CHECK(app::fit_line(fit_at(100.0, 60.0, 0.0, -65.0), Units::inch) == "Sticks out 0.20 in, bottom");
  CHECK(app::fit_line(fit_at(100.0, 60.0, 20.0, 65.0), Units::mm) == "Sticks out 7.1 mm, top right");
  CHECK(app::fit_line(fit_at(100.0, 60.0, -20.0, -65.0), Units::mm) == "Sticks out 7.1 mm, bottom left");
  CHECK(app::fit_line(fit_at(100.0, 60.0, 14.2, 0.0), Units::mm) == "Too near the edge by 1.2 mm");
  const double nan = std::numeric_limits<double>::quiet_NaN();
  CHECK(app::fit_line(fit_at(100.0, 60.0, nan, 0.0), Units::mm) == "Whether it fits cannot be said");
}

TEST_CASE("the ways to fit are said with their senses, rounded so that they are enough", "[fit][words][sign]") {
  CHECK(app::slide_line({-4.21, 0.0}, Units::mm) == "Fits 4.3 mm further left");
  CHECK(app::slide_line({4.2, 0.0}, Units::mm) == "Fits 4.2 mm further right");
  CHECK(app::slide_line({0.0, 12.01}, Units::mm) == "Fits 13 mm further up");
  CHECK(app::slide_line({0.0, -1.0}, Units::inch) == "Fits 0.04 in further down");
  CHECK(app::slide_line({2.0, 1.0}, Units::mm) == "Fits 2.0 mm further right, 1.0 mm up");
  CHECK(app::slide_line({-2.0, 1.0}, Units::mm) == "Fits 2.0 mm further left, 1.0 mm up");
  CHECK(app::slide_line({2.0, -1.0}, Units::mm) == "Fits 2.0 mm further right, 1.0 mm down");
  CHECK(app::slide_line({-2.0, -1.0}, Units::inch) == "Fits 0.08 in further left, 0.04 in down");
  CHECK(app::turn_line(2.31) == "Fits turned 2.4° counter-clockwise");
  CHECK(app::turn_line(-0.2) == "Fits turned 0.2° clockwise");
  CHECK(app::turn_line(-12.1) == "Fits turned 13° clockwise");
  CHECK(app::nearest_line({{1.0, -2.0}, 0.0}, {{0.0, 0.0}, 3.0 * kRadPerDeg}, Units::mm) ==
        "Nearest: 1.0 mm right, 2.0 mm down, 3.0° clockwise");
  CHECK(app::nearest_line({{1.0, 2.0}, 0.1}, {{2.0, 0.0}, 0.1 - 0.5 * kRadPerDeg}, Units::inch) ==
        "Nearest: 0.04 in left, 0.08 in up, 0.5° counter-clockwise");
}

// Guarantees: the least trouble comes first: a move within the tolerance, hooping again, another hoop.
TEST_CASE("advice goes from a small move to another hoop", "[fit][advice]") {
  const std::vector<vision::Hoop> taught{hoop_of("200 x 300", 200.0, 300.0), hoop_of("130 x 180", 130.0, 180.0),
                                         hoop_of("150 x 240", 150.0, 240.0), hoop_of("100 x 100", 100.0, 100.0)};
  CHECK(advice_at(100.0, 60.0, {{5.0, 0.0}, 0.0}, taught).way == FitWay::none_needed);
  // Needs 2 mm.
  CHECK(advice_at(100.0, 60.0, {{15.0, 0.0}, 0.0}, taught).way == FitWay::move);
  // Needs 17 mm, and in the middle has 13 to spare.
  const FitAdvice again = advice_at(100.0, 60.0, {{30.0, 0.0}, 0.0}, taught);
  CHECK(again.way == FitWay::hoop_again);
  CHECK_FALSE(again.quarter_turn);
  CHECK_FALSE(again.close);
  CHECK_THAT(again.gap_mm, WithinAbs(13.0, 1e-9));
  CHECK(app::advice_line(again, Units::mm) == "Hoop again: 13 mm to spare then");
  CHECK(app::advice_line(again, Units::inch) == "Hoop again: 0.51 in to spare then");
  // 160 wide: in this hoop only when it lies a quarter turn on.
  const FitAdvice quarter = advice_at(160.0, 60.0, {}, taught);
  CHECK(quarter.way == FitWay::hoop_again);
  CHECK(quarter.quarter_turn);
  CHECK_THAT(quarter.gap_mm, WithinAbs(8.0, 1e-9));
  // A machine that does not turn has no use of that; the smallest with room is 200 wide.
  const FitAdvice unturned = advice_at(160.0, 60.0, {}, taught, false);
  CHECK(unturned.way == FitWay::other_hoop);
  CHECK(unturned.hoop == "200 x 300");
  // 124 x 170: one millimetre to spare here, less than a hooping may be off; the next has 11.
  const FitAdvice larger = advice_at(124.0, 170.0, {{20.0, 0.0}, 0.0}, taught);
  CHECK(larger.way == FitWay::other_hoop);
  CHECK(larger.hoop == "150 x 240");
  CHECK_THAT(larger.gap_mm, WithinAbs(11.0, 1e-9));
  CHECK(app::advice_line(larger, Units::mm) == "Take the hoop 150 x 240: 11 mm to spare there");
  // Without a larger one it is to be hooped with care.
  const FitAdvice close = advice_at(124.0, 170.0, {{20.0, 0.0}, 0.0}, {});
  CHECK(close.way == FitWay::hoop_again);
  CHECK(close.close);
  CHECK(app::advice_line(close, Units::mm) == "Hoop again, closely: only 1.0 mm to spare then");
  const FitAdvice none = advice_at(400.0, 300.0, {}, taught);
  CHECK(none.way == FitWay::no_hoop);
  CHECK(app::advice_line(none, Units::mm) == "No taught hoop holds this design");
}

// Guarantees: the cloth's own direction is kept: a design that lies sideways is to lie sideways again.
TEST_CASE("square is as the cloth lies", "[fit][advice]") {
  const FitAdvice sideways = advice_at(160.0, 60.0, {{40.0, 0.0}, 88.0 * kRadPerDeg}, {});
  CHECK(sideways.way == FitWay::hoop_again);
  CHECK_FALSE(sideways.quarter_turn);
}

TEST_CASE("an answer says its fit where the design comes", "[fit][answer]") {
  vision::Reading reading;
  reading.offset_x_mm = 30.0;
  const std::vector<vision::Hoop> taught{hoop_of("130 x 180", 130.0, 180.0)};
  CHECK_FALSE(app::piece_answer(reading, std::nullopt, std::nullopt, taught[0], {taught, {}}));
  const auto answer =
      app::piece_answer(reading, app::rectangle_design({100.0, 60.0}), std::nullopt, taught[0], {taught, {}});
  REQUIRE(answer);
  CHECK_THAT(answer->fit.gap_mm, WithinAbs(-17.0, 1e-9));
  const auto lines = app::fit_lines(answer, Units::mm);
  REQUIRE(lines.size() == 2);
  CHECK(lines[0].words == "Sticks out 15 mm, right");
  CHECK(lines[0].bad);
  CHECK(lines[1].words == "Hoop again: 13 mm to spare then");
  const auto ways = app::way_lines(*answer, Units::inch);
  REQUIRE_FALSE(ways.empty());
  CHECK(ways[0] == "Fits 0.67 in further left");
  CHECK(app::fit_lines(std::nullopt, Units::mm).empty());
  CHECK(app::what_to_do(*answer, Units::mm) == "Hoop again: 13 mm to spare then");
  reading.offset_x_mm = 15.0;
  const auto small =
      app::piece_answer(reading, app::rectangle_design({100.0, 60.0}), std::nullopt, taught[0], {taught, {}});
  REQUIRE(small);
  CHECK(app::what_to_do(*small, Units::mm) == "Fits 2.0 mm further left");
}
