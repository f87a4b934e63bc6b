// A person inspects a piece: finds it, says what the ruler says, and finishes it.
#include <cmath>

#include "tests/app/sample_piece.h"
#include "tests/app/view_person.h"
#include "tests/app/work_bench.h"
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

// Guarantees: the piece in hand is recorded before another use of the board, what is laid there to be inspected is not
// recorded as a piece, and the camera's word is against where the sticker was when it was hooped. By hand: 1 mm and
// 2 mm further, no turn.
TEST_CASE("a piece is inspected by the camera", "[views][inspection]") {
  WorkBench bench({640, 400});
  bench.held(1.0, 1.0, 0.0);
  CHECK(bench.desk.log().newest(5).empty());
  ViewPerson person(bench.desk);
  person.open(ViewId::inspect);
  REQUIRE(bench.desk.log().newest(5).size() == 1);
  const std::string piece = bench.desk.log().newest(1).at(0).id;
  REQUIRE(person.touch(person.page().buttons().front().label));
  CHECK_FALSE(person.touch("Good"));
  bench.held(2.0, 3.0, 0.0);
  person.draw();
  REQUIRE(person.touch("Good"));
  const auto kept = bench.desk.log().inspection_of(piece);
  REQUIRE(kept);
  CHECK(kept->found_by == app::FoundBy::sticker);
  CHECK_THAT(kept->offset_x_mm, WithinAbs(1.0, 0.01));
  CHECK_THAT(kept->offset_y_mm, WithinAbs(2.0, 0.01));
  CHECK_THAT(kept->rotation_deg, WithinAbs(0.0, 0.01));
  CHECK(kept->u_offset_mm > 0.0);
  // The inspected piece is lifted off, here and after going back: no new piece.
  const auto empty = fake::no_reading(fake::station(), fake::straight_down(), vision::Status::no_ring);
  bench.show(empty, 4.0);
  bench.held(2.0, 3.0, 0.0);
  bench.desk.open(ViewId::work);
  bench.show(empty, 4.0);
  CHECK(bench.desk.log().newest(5).size() == 1);
}

TEST_CASE("back leads through the steps and out", "[views][inspection]") {
  app::DemoShop shop("en");
  ViewPerson person(shop.desk());
  person.open(ViewId::menu);
  REQUIRE(person.touch("Inspect"));
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
