// Guiding the cloth to a hoop that it hides.
#include "app/kept_hoop.h"
#include "tests/app/fake_result.h"
#include "tests/catch.h"

namespace {

const vision::Pose2 kHoop{{12.0, -7.0}, 90.0 * vision::kRadPerDeg};

// The hoop, set on the board; no cloth.
vision::FrameResult set_hoop() {
  vision::FrameResult r = fake::result(fake::station(), fake::hoop(), fake::straight_down(), kHoop, 0.0, 0.0, 0.0);
  r.status = vision::Status::no_sticker;
  r.reading.reset();
  r.stickers.clear();
  return r;
}

// The cloth over it; its sticker at a place on the board.
vision::FrameResult laid_cloth(double x_mm, double y_mm, double deg) {
  vision::FrameResult r = fake::no_reading(fake::station(), fake::straight_down(), vision::Status::no_ring);
  vision::SeenSticker s;
  s.number = 3;
  s.tags_seen = 4;
  s.board_from_sticker = {{x_mm, y_mm}, deg * vision::kRadPerDeg};
  r.stickers.push_back(s);
  return r;
}

}  // namespace

// By hand: the hoop's east points away from the operator (turned by 90), its north to the operator's left. A sticker
// 5 mm right of its centre lies 5 mm south of it; 2 mm further away, 2 mm east.
TEST_CASE("the cloth is guided to the hoop as it was set", "[kept_hoop][sign]") {
  app::KeptHoop kept;
  kept.update(set_hoop());
  const vision::FrameResult cloth = laid_cloth(12.0 + 5.0, -7.0 + 2.0, 93.0);
  kept.update(cloth);
  const auto guide = kept.guide(cloth);
  REQUIRE(guide.has_value());
  CHECK_THAT(guide->reading.offset_x_mm, WithinAbs(2.0, 1e-9));
  CHECK_THAT(guide->reading.offset_y_mm, WithinAbs(-5.0, 1e-9));
  CHECK_THAT(guide->reading.rotation_deg, WithinAbs(3.0, 1e-9));
  CHECK_FALSE(kept.outer_px().empty());
}

// Guarantees: nothing is guided to a hoop that may not be there any more. Example failure: the next garment is brought
// to where the last hoop lay.
TEST_CASE("after the press the kept hoop is let go of", "[kept_hoop]") {
  app::KeptHoop kept;
  kept.update(set_hoop());
  kept.update(fake::result(fake::station(), fake::hoop(), fake::straight_down(), kHoop, 1.0, 1.0, 0.0));
  CHECK_FALSE(kept.guide(laid_cloth(12.0, -7.0, 90.0)).has_value());
  CHECK(kept.outer_px().empty());
}

TEST_CASE("no guide without a hoop seen before, after the board moved, without one plain sticker", "[kept_hoop]") {
  app::KeptHoop kept;
  const vision::FrameResult cloth = laid_cloth(0.0, 0.0, 0.0);
  CHECK_FALSE(kept.guide(cloth).has_value());
  kept.update(set_hoop());
  CHECK(kept.guide(cloth).has_value());
  vision::FrameResult two = cloth;
  two.stickers.push_back(two.stickers.front());
  CHECK_FALSE(kept.guide(two).has_value());
  vision::FrameResult poor = cloth;
  poor.stickers.front().tags_seen = 1;
  CHECK_FALSE(kept.guide(poor).has_value());
  for (vision::Status status : {vision::Status::several_stickers, vision::Status::no_sticker, vision::Status::no_board,
                                vision::Status::blurred, vision::Status::moving, vision::Status::sticker_covered}) {
    vision::FrameResult other = cloth;
    other.status = status;
    CHECK_FALSE(kept.guide(other).has_value());
  }
  kept.update(fake::no_reading(fake::station(), fake::straight_down(), vision::Status::board_moved));
  CHECK_FALSE(kept.guide(cloth).has_value());
}
