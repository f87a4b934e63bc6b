// The outline tracer alone, on pictures made by hand and by chance.
#include <random>

#include "app/outline/contours.h"
#include "app/outline/drawn_page.h"
#include "app/outline/hidden_ink.h"
#include "app/outline/outline_error.h"
#include "app/outline/outline_of.h"
#include "tests/app/drawn_shape.h"
#include "tests/catch.h"

namespace {

struct Picture {
  Picture(int width, int height) : bytes(static_cast<std::size_t>(width * height)) {
    ink = {width, height, static_cast<std::size_t>(width), bytes.data()};
  }
  std::uint8_t& at(int x, int y) { return bytes[static_cast<std::size_t>(y * ink.width + x)]; }
  std::vector<std::uint8_t> bytes;
  app::InkPicture ink;
};

double area_px(const app::Contour& contour) {
  double twice = 0.0;
  for (std::size_t i = 0; i < contour.size(); ++i) {
    const app::PointPx a = contour[i], b = contour[(i + 1) % contour.size()];
    twice += double(a.x) * b.y - double(a.y) * b.x;
  }
  return twice / 2.0;
}

}  // namespace

TEST_CASE("one pixel has one outline around its centre", "[contours]") {
  Picture picture(5, 5);
  picture.at(2, 2) = 255;
  const auto found = app::contours(picture.ink, 100);
  REQUIRE(found.size() == 1);
  for (const app::PointPx p : found[0]) {
    CHECK(std::abs(p.x - 2.5F) <= 0.51F);
    CHECK(std::abs(p.y - 2.5F) <= 0.51F);
  }
  // With y down, ink on the left means a negative area.
  CHECK(area_px(found[0]) < 0.0);
}

TEST_CASE("nothing, and more corners than are allowed", "[contours][errors]") {
  Picture picture(64, 64);
  CHECK(app::contours(picture.ink, 100).empty());
  for (int y = 2; y < 62; y += 2)
    for (int x = 2; x < 62; x += 2) picture.at(x, y) = 255;
  CHECK(app::contours(picture.ink, 10000).size() == 900);
  CHECK_THROWS_AS(app::contours(picture.ink, 100), app::OutlineError);
}

// Guarantees: every outline is closed and found once: the areas, holes negative, add up to the ink. Example failure: a
// saddle where four pixels meet sends the tracer round another outline.
TEST_CASE("outlines of chance pictures enclose their ink", "[contours][fuzz]") {
  std::mt19937 random(3);
  for (int round = 0; round < 60; ++round) {
    Picture picture(40, 30);
    double half = 0.0;
    const auto kind = random() % 3;
    for (int y = 1; y < 29; ++y)
      for (int x = 1; x < 39; ++x) {
        picture.at(x, y) = static_cast<std::uint8_t>(kind == 0 ? random() % 256 : random() % 2 * 255);
        half += picture.at(x, y) >= 128 ? 1.0 : 0.0;
      }
    if (kind == 2) app::show_hidden_ink(picture.ink);
    double area = 0.0;
    for (const app::Contour& one : app::contours(picture.ink, 100000)) area -= area_px(one);
    CHECK(std::abs(area - half) < 0.25 * half);
  }
}

TEST_CASE("faint ink is shown only where it would be lost", "[contours]") {
  Picture picture(30, 12);
  for (int x = 3; x < 27; ++x) {
    picture.at(x, 2) = 40;  // a hair line
    for (int y = 6; y < 10; ++y) picture.at(x, y) = 255;
    picture.at(x, 5) = 40;  // an edge's grey
  }
  app::show_hidden_ink(picture.ink);
  CHECK(picture.at(10, 2) >= 128);
  CHECK(picture.at(10, 5) == 40);
  CHECK(app::contours(picture.ink, 1000).size() == 2);
}

// The same code that the program runs in its process, here under the sanitizers.
TEST_CASE("a drawing is said in outlines or refused in a sentence", "[contours]") {
  const std::string page = "width=\"20mm\" height=\"20mm\" viewBox=\"0 0 20 20\"";
  const std::string said = app::outline_of(drawn::svg(page, "<circle cx=\"10\" cy=\"10\" r=\"8\"/>"), 1e5);
  REQUIRE(said.size() > sizeof(app::OutlineHead));
  CHECK(said[0] == 'O');
  CHECK(app::outline_of("nothing", 0.0)[0] == 'R');
  CHECK(app::outline_of(drawn::svg(page, ""), 0.0) == "Rnothing is drawn in it");
}
