// A person inspects a piece: finds it, says what the ruler says, and finishes it.
#include <cmath>

#include "tests/app/sample_piece.h"
#include "tests/app/view_person.h"
#include "tests/catch.h"

using app::ViewId;

namespace {

const app::PieceRecord& newest(app::Desk& desk) {
  static app::PieceRecord one;
  one = desk.log().newest(1).at(0);
  return one;
}

}  // namespace

TEST_CASE("a piece is inspected by ruler, and a later inspection counts", "[views][inspection]") {
  app::DemoShop shop("en");
  app::Desk& desk = shop.desk();
  ViewPerson person(desk);
  person.open(ViewId::records);
  REQUIRE(person.touch("Inspect a piece"));
  CHECK(desk.view() == ViewId::inspect);
  const auto piece = newest(desk);
  CHECK_FALSE(desk.log().inspection_of(piece.id));
  const auto& buttons = person.page().buttons();
  REQUIRE(buttons.size() > 1);
  CHECK(buttons.front().note == "not inspected");
  REQUIRE(person.touch(buttons.front().label));
  // No frame was seen: nothing to keep by the camera.
  CHECK_FALSE(person.touch("Good"));
  REQUIRE(person.touch("By ruler"));
  for (int i = 0; i < 12; ++i) REQUIRE(person.touch("+0.1"));  // the first line's: right
  REQUIRE(person.touch("Good"));
  auto kept = desk.log().inspection_of(piece.id);
  REQUIRE(kept);
  CHECK(kept->found_by == app::FoundBy::ruler);
  CHECK(kept->outcome == app::Outcome::good);
  CHECK_THAT(kept->offset_x_mm, WithinAbs(1.2, 1e-9));
  CHECK_THAT(kept->offset_y_mm, WithinAbs(0.0, 1e-9));
  CHECK(std::isnan(kept->rotation_deg));
  CHECK(kept->operator_name == desk.settings().operator_name);
  REQUIRE(person.touch("Another piece"));
  CHECK(person.page().buttons().front().note == "good");
  REQUIRE(person.touch(person.page().buttons().front().label));
  REQUIRE(person.touch("By ruler"));
  REQUIRE(person.touch("Rejected"));
  kept = desk.log().inspection_of(piece.id);
  CHECK(kept->found_by == app::FoundBy::eye);
  CHECK(kept->outcome == app::Outcome::reject);
  CHECK(std::isnan(kept->offset_x_mm));
  CHECK(desk.log().newest_inspections(10).size() == 2);
}

TEST_CASE("back leads through the steps and out", "[views][inspection]") {
  app::DemoShop shop("en");
  ViewPerson person(shop.desk());
  person.open(ViewId::menu);
  REQUIRE(person.touch("Inspection"));
  REQUIRE(person.touch(person.page().buttons().front().label));
  REQUIRE(person.touch("By ruler"));
  person.key(SDLK_ESCAPE);
  CHECK(person.find("By ruler") != nullptr);
  person.key(SDLK_ESCAPE);
  CHECK(person.find("By ruler") == nullptr);
  CHECK(shop.desk().view() == ViewId::inspect);
  person.key(SDLK_ESCAPE);
  CHECK(shop.desk().view() == ViewId::menu);
}
