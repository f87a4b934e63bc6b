// Straight lines on a cloth that is drawn from a formula.
#include "tests/catch.h"
#include "tests/vision/cloth_scene.h"
#include "vision/straight_line.h"

namespace {

using namespace test_cloth;
using vision::LineKind;
using vision::LineReading;
using vision::LineStatus;

LineReading read(const Albedo& albedo, const vision::LineOptions& options = {}, double noise = 1.0) {
  const vision::ClothSight s = sight();
  return vision::read_line(picture(s, albedo, noise), s, options);
}

Albedo edge(double angle_deg, double distance_mm, double left, double right, double spread_mm = 0.2) {
  return [=](cv::Point2d p) { return right + (left - right) * step(across(p, angle_deg, distance_mm), spread_mm); };
}
Albedo ridge(double angle_deg, double distance_mm, double change, double spread_mm = 0.35) {
  return [=](cv::Point2d p) { return 0.3 * (1.0 + change * bell(across(p, angle_deg, distance_mm), spread_mm)); };
}

void check_at(const LineReading& reading, LineKind kind, double angle_deg, double distance_mm) {
  INFO(vision::name(reading.status));
  REQUIRE(reading.status == LineStatus::ok);
  const vision::LinePlace& place = reading.line->place;
  CHECK(reading.line->kind == kind);
  CHECK_THAT(place.angle_deg, WithinAbs(angle_deg, 0.02));
  CHECK_THAT(place.distance_mm, WithinAbs(distance_mm, 0.04));
  CHECK(std::abs(place.angle_deg - angle_deg) <= place.u_angle_deg);
  CHECK(std::abs(place.distance_mm - distance_mm) <= place.u_distance_mm);
  CHECK(place.u_angle_deg < 0.2);
  CHECK(place.u_distance_mm < 0.25);
}

}  // namespace

// Guarantees: where an edge lies and how it is turned, whichever side is brighter. Example failure: the blur and the
// tone curve draw it to its dark side.
TEST_CASE("an edge is read in place and turn", "[straight_line]") {
  check_at(read(edge(3.7, 8.25, 0.5, 0.1)), LineKind::edge, 3.7, 8.25);
  check_at(read(edge(3.7, 8.25, 0.1, 0.5)), LineKind::edge, 3.7, 8.25);
  check_at(read(edge(-88.6, -14.1, 0.42, 0.3)), LineKind::edge, -88.6, -14.1);
}

TEST_CASE("a thin line is read in place and turn", "[straight_line]") {
  check_at(read(ridge(-1.3, -20.6, -0.3)), LineKind::ridge, -1.3, -20.6);
  check_at(read(ridge(41.0, 5.5, 0.6)), LineKind::ridge, 41.0, 5.5);
}

// Guarantees: the signs. Example failure: a line above the centre reads negative, or clockwise reads positive.
TEST_CASE("a line 3 mm towards north reads +3, turned counter-clockwise positive", "[straight_line][sign]") {
  const LineReading level = read(edge(0.0, 3.0, 0.5, 0.2));
  REQUIRE(level.line);
  CHECK_THAT(level.line->place.distance_mm, WithinAbs(3.0, 0.04));
  // From (-50, 2) to (50, 4): atan(2/100) = 1.1458 deg, through (0, 3).
  const LineReading turned = read(edge(1.1458, 3.0 * std::cos(1.1458 * vision::kRadPerDeg), 0.5, 0.2));
  REQUIRE(turned.line);
  CHECK_THAT(turned.line->place.angle_deg, WithinAbs(1.1458, 0.02));
  // Brighter to the north, which is the left of a line that runs east.
  CHECK(turned.line->sign == 1);
}

TEST_CASE("cloth without a line gives none", "[straight_line]") {
  CHECK(read([](cv::Point2d) { return 0.3; }).status == LineStatus::no_line);
  CHECK(read([](cv::Point2d) { return 0.3; }, {}, 4.0).status == LineStatus::no_line);
  // Broad folds alone.
  const LineReading folds =
      read([](cv::Point2d p) { return 0.3 * (1.0 + 0.2 * std::sin(p.x / 7.0) * std::cos(p.y / 9.0)); });
  CHECK(folds.status != LineStatus::ok);
}

TEST_CASE("lines that will not do are refused by name", "[straight_line]") {
  // Radius 500 mm: over 100 mm a bow of 2.5 mm.
  const LineReading bent =
      read([](cv::Point2d p) { return 0.15 + 0.3 * step(cv::norm(p - cv::Point2d(3, -500)) - 500.0); });
  CHECK(bent.status == LineStatus::not_straight);
  const LineReading soft = read(edge(10.0, 4.0, 0.5, 0.2, 1.6));
  CHECK(soft.status == LineStatus::too_soft);
  // A thing of 56 x 40 mm: its sides reach over half of the opening at most, as a sticker's or a finger's do.
  const LineReading stub =
      read([](cv::Point2d p) { return std::abs(p.x) < 28.0 && std::abs(p.y + 5.0) < 20.0 ? 0.5 : 0.2; });
  CHECK(stub.status == LineStatus::too_short);
}

TEST_CASE("of two lines that are as clear one must be pointed at", "[straight_line]") {
  const Albedo two = [](cv::Point2d p) {
    return 0.15 + 0.2 * step(across(p, 2.0, 20.0)) + 0.2 * step(across(p, -3.0, -18.0));
  };
  const LineReading both = read(two);
  CHECK(both.status == LineStatus::several_lines);
  CHECK(both.rivals.size() == 2);
  CHECK_FALSE(both.line);
  vision::LineOptions options;
  options.near_mm = cv::Point2d(10.0, 23.0);  // 2.7 mm beside the first
  check_at(read(two, options), LineKind::edge, 2.0, 20.0);
  options.near_mm = cv::Point2d(-30.0, -15.0);
  check_at(read(two, options), LineKind::edge, -3.0, -18.0);
  options.near_mm = cv::Point2d(0.0, 0.0);
  CHECK(read(two, options).status != LineStatus::ok);
}

TEST_CASE("the line of the last frame is followed", "[straight_line]") {
  const Albedo two = [](cv::Point2d p) {
    return 0.15 + 0.2 * step(across(p, 2.0, 20.0)) + 0.2 * step(across(p, -3.0, -18.0));
  };
  vision::LineOptions options;
  options.near_mm = cv::Point2d(10.0, 20.0);
  options.last = read(two, options).line;
  REQUIRE(options.last);
  const Albedo moved = [](cv::Point2d p) {
    return 0.15 + 0.2 * step(across(p, 3.5, 26.0)) + 0.2 * step(across(p, -1.5, -12.0));
  };
  check_at(read(moved, options), LineKind::edge, 3.5, 26.0);
}

TEST_CASE("a hidden cloth is said to be out of sight", "[straight_line]") {
  vision::ClothSight s = sight();
  s.hidden_px.push_back({{{0, 0}, {519, 0}, {519, 519}, {0, 519}}});
  const cv::Mat1b grey = picture(s, edge(0.0, 0.0, 0.5, 0.2));
  CHECK(vision::read_line(grey, s).status == LineStatus::out_of_sight);
}

// Guarantees: the height of the cloth counts. Example failure: the cloth taken to lie on the board. A thing at 1 mm
// over the board and 30 mm off the camera's foot would seem 0.046 mm further out.
TEST_CASE("a thicker cloth's line keeps its place when its height is told", "[straight_line]") {
  vision::ClothSight s = sight();
  s.cloth_height_mm = 6.0;
  const LineReading told = vision::read_line(picture(s, edge(0.0, 40.0, 0.5, 0.2)), s);
  REQUIRE(told.line);
  CHECK_THAT(told.line->place.distance_mm, WithinAbs(40.0, 0.04));
}
