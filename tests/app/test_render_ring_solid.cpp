#include <cmath>

#include "app/render/demo_station.h"
#include "app/render/ring_solid.h"
#include "tests/catch.h"

using namespace app;

namespace {

// Inner 100 x 100, outer 112 x 112, sharp corners; the east notch at (50, 0).
vision::Hoop square_hoop() {
  vision::Hoop hoop;
  hoop.inner_mm = {{50, 50}, {-50, 50}, {-50, -50}, {50, -50}};
  hoop.outer_mm = {{56, 56}, {-56, 56}, {-56, -56}, {56, -56}};
  hoop.notches = {{{vision::Side::north, {0, 50}, 2},
                   {vision::Side::east, {50, 0}, 1},
                   {vision::Side::south, {0, -50}, 1},
                   {vision::Side::west, {-50, 0}, 1}}};
  return hoop;
}

constexpr float kDepth = 10.0F, kRadius = 0.8F;

}  // namespace

// Guarantees: distances in the table are those of the outlines, mm, positive in the material.
TEST_CASE("the table of distances agrees with the polygons", "[render][ring][accuracy]") {
  for (const vision::Hoop& hoop : demo_hoops()) {
    const OutlineField field(hoop.inner_mm, hoop.outer_mm);
    for (double angle = 0.05; angle < 6.2; angle += 0.21) {
      for (const double radius : {55.0, 63.0, 71.0, 79.0, 88.0, 97.0}) {
        const cv::Point2d p(radius * std::cos(angle), radius * std::sin(angle));
        const OutlineDistances d = field.at(cv::Point2f(p));
        const double inner = -signed_distance(hoop.inner_mm, p), outer = signed_distance(hoop.outer_mm, p);
        if (std::abs(inner) < 8.0) CHECK_THAT(d.inner, WithinAbs(inner, 0.003));
        if (std::abs(outer) < 8.0) CHECK_THAT(d.outer, WithinAbs(outer, 0.003));
      }
    }
  }
}

// Guarantees: where a ray straight down meets the rounded edges, by hand: 0.32 mm inside the outline is 0.48 mm
// beside the circle's centre, so sqrt(0.64 - 0.2304) = 0.64 above it and 0.16 mm down.
TEST_CASE("a ray straight down finds top, rounding and nothing", "[render][ring]") {
  const RingSolid solid(square_hoop());
  const auto down = [&](float x, float y) { return solid.hit({{x, y}, {0, 0}}, kDepth, kRadius); };
  REQUIRE(down(53.0F, 20.0F));
  CHECK(down(53.0F, 20.0F)->surface == RingSurface::top);
  REQUIRE(down(50.32F, 20.0F));
  CHECK(down(50.32F, 20.0F)->surface == RingSurface::rounding);
  CHECK_THAT(down(50.32F, 20.0F)->below_rim_mm, WithinAbs(0.16, 1e-3));
  CHECK_THAT(down(50.32F, 20.0F)->outward.x, WithinAbs(-1.0, 1e-3));  // towards the hole
  REQUIRE(down(55.7F, 20.0F));
  CHECK_THAT(down(55.7F, 20.0F)->outward.x, WithinAbs(1.0, 1e-3));
  CHECK_FALSE(down(49.9F, 20.0F));
  CHECK_FALSE(down(56.1F, 20.0F));
  CHECK_FALSE(down(0.0F, 0.0F));
}

// Guarantees: an oblique ray meets the inner wall, by hand: 0.5 mm short of it, 0.125 mm further for each mm down.
TEST_CASE("an oblique ray meets the inner wall at its depth", "[render][ring]") {
  const RingSolid solid(square_hoop());
  const auto hit = solid.hit({{49.5F, 20.0F}, {0.125F, 0.0F}}, kDepth, kRadius);
  REQUIRE(hit);
  CHECK(hit->surface == RingSurface::wall);
  CHECK_THAT(hit->below_rim_mm, WithinAbs(4.0, 0.01));
  CHECK_FALSE(solid.hit({{48.5F, 20.0F}, {0.125F, 0.0F}}, kDepth, kRadius));  // reaches the ground before the wall
  CHECK_FALSE(solid.hit({{49.5F, 20.0F}, {-0.125F, 0.0F}}, kDepth, kRadius));
}

// Guarantees: a notch is 2.5 mm deep and wide, cut through, its tip in the material.
TEST_CASE("a ray straight down falls through a notch", "[render][ring]") {
  const RingSolid solid(square_hoop());
  const auto down = [&](float x, float y) { return solid.hit({{x, y}, {0, 0}}, kDepth, 0.0F); };
  CHECK_FALSE(down(50.1F, 0.0F));
  CHECK_FALSE(down(52.4F, 0.0F));
  CHECK(down(52.6F, 0.0F));
  CHECK_FALSE(down(50.05F, 1.2F));
  CHECK(down(50.05F, 1.3F));
  CHECK(down(51.25F, 0.7F));
  CHECK_FALSE(down(51.25F, 0.55F));
  // Two teeth at north, 3.8 mm apart, material between them.
  CHECK_FALSE(down(1.9F, 51.0F));
  CHECK_FALSE(down(-1.9F, 51.0F));
  CHECK(down(0.0F, 51.0F));
}

TEST_CASE("outlines that are none are refused", "[render][ring]") {
  vision::Hoop hoop = square_hoop();
  hoop.inner_mm.resize(2);
  CHECK_THROWS_AS(RingSolid(hoop), std::invalid_argument);
  hoop = square_hoop();
  hoop.outer_mm[1].x = std::nan("");
  CHECK_THROWS_AS(RingSolid(hoop), std::invalid_argument);
}
