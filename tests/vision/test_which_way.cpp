#include "tests/catch.h"
#include "vision/which_way.h"

using namespace vision;

namespace {

// A rectangle of 140 x 190 mm with rounded corners is not needed here: its symmetry is.
Hoop rectangle(NorthBy by) {
  Hoop hoop;
  hoop.north_by = by;
  hoop.north_mark = 451;
  hoop.inner_mm = {{-70, -95}, {70, -95}, {70, 95}, {-70, 95}};
  hoop.outer_mm = {{-75, -100}, {75, -100}, {75, 100}, {-75, 100}};
  hoop.notches = {Notch{Side::north, {0, 95}, 2}, Notch{Side::east, {70, 0}, 1}, Notch{Side::south, {0, -95}, 1},
                  Notch{Side::west, {-70, 0}, 1}};
  return hoop;
}

FoundNotch teeth(int count) {
  FoundNotch notch;
  notch.looked = notch.found = true;
  notch.teeth = count;
  return notch;
}

const FoundNotch kCovered{true, false, false, 0, 0.0, 0.0};
const FoundNotch kBare{true, false, true, 0, 0.0, 0.0};

std::optional<int> turns(const Hoop& hoop, const std::array<FoundNotch, 4>& found, double angle_rad = 0.0,
                         std::optional<cv::Point2d> mark = std::nullopt) {
  return turns_to_north(hoop, rim_model(hoop, 5.0), Pose2{{0, 0}, angle_rad}, found, mark);
}

}  // namespace

TEST_CASE("symmetry of outlines is counted", "[which_way]") {
  CHECK(rim_model(rectangle(NorthBy::taught), 5.0).symmetry == 2);
  Hoop square = rectangle(NorthBy::taught);
  square.inner_mm = {{-70, -70}, {70, -70}, {70, 70}, {-70, 70}};
  square.outer_mm = {{-75, -75}, {75, -75}, {75, 75}, {-75, 75}};
  CHECK(rim_model(square, 5.0).symmetry == 4);
  Hoop bracket = rectangle(NorthBy::taught);
  bracket.outer_mm = {{-75, -100}, {75, -100}, {75, 100}, {-85, 100}};
  CHECK(rim_model(bracket, 5.0).symmetry == 1);
  Hoop round = rectangle(NorthBy::taught);
  round.inner_mm.clear();
  round.outer_mm.clear();
  for (int i = 0; i < 120; ++i) {
    const double phi = i * kPi / 60.0;
    round.inner_mm.emplace_back(75.0 * std::cos(phi), 75.0 * std::sin(phi));
    round.outer_mm.emplace_back(80.0 * std::cos(phi), 80.0 * std::sin(phi));
  }
  CHECK(rim_model(round, 5.0).symmetry == 0);
}

// Guarantees: the doubled notch tells north, also by its absence. Example failure: a guess when north and south are
// covered.
TEST_CASE("north is where the doubled notch is", "[which_way]") {
  const Hoop hoop = rectangle(NorthBy::taught);
  CHECK(turns(hoop, {teeth(2), teeth(1), teeth(1), teeth(1)}) == 0);
  CHECK(turns(hoop, {teeth(1), teeth(1), teeth(2), teeth(1)}) == 1);
  CHECK(turns(hoop, {kCovered, teeth(1), teeth(1), teeth(1)}) == 0);
  CHECK(turns(hoop, {teeth(1), teeth(1), kCovered, teeth(1)}) == 1);
}

TEST_CASE("evidence that does not decide gives no answer", "[which_way]") {
  const Hoop hoop = rectangle(NorthBy::taught);
  CHECK_FALSE(turns(hoop, {kCovered, teeth(1), kCovered, teeth(1)}));
  CHECK_FALSE(turns(hoop, {kCovered, kCovered, kCovered, kCovered}));
  CHECK_FALSE(turns(hoop, {teeth(2), teeth(1), teeth(2), teeth(1)}));
  CHECK_FALSE(turns(hoop, {teeth(1), teeth(1), teeth(1), teeth(1)}));
  CHECK_FALSE(turns(hoop, {kBare, kBare, teeth(1), kBare}));
  Hoop plain = hoop;
  plain.notches[0].teeth = 1;
  CHECK_FALSE(turns(plain, {teeth(1), teeth(1), teeth(1), teeth(1)}));
}

TEST_CASE("a north mark decides, when it lies on the rim", "[which_way]") {
  const Hoop hoop = rectangle(NorthBy::mark);
  const std::array<FoundNotch, 4> none{};
  CHECK(turns(hoop, none, 0.05, cv::Point2d(0.0, 98.0)) == 0);
  CHECK(turns(hoop, none, 0.05, cv::Point2d(0.0, -98.0)) == 1);
  CHECK_FALSE(turns(hoop, none, 0.05, std::nullopt));
  CHECK_FALSE(turns(hoop, none, 0.05, cv::Point2d(0.0, 10.0)));
  CHECK_FALSE(turns(hoop, none, 0.05, cv::Point2d(98.0, 0.0)));
}

TEST_CASE("a fixture holds north to the board's far side", "[which_way]") {
  const Hoop hoop = rectangle(NorthBy::fixture);
  const std::array<FoundNotch, 4> none{};
  CHECK(turns(hoop, none, 0.2) == 0);
  CHECK(turns(hoop, none, kPi - 0.2) == 1);
  CHECK_FALSE(turns(hoop, none, kPi / 2.0));
}
