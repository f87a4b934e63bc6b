// The work cycle, played as scripts of what frames show, and as random walks.
#include <cmath>
#include <random>

#include "app/cycle/hooping_cycle.h"
#include "tests/catch.h"

namespace {

using app::Phase;
constexpr double kFrame_s = 0.1;
constexpr double kNoiseMm = 0.01, kSharedMm = 0.04;

vision::FrameResult nothing() {
  vision::FrameResult r;
  r.status = vision::Status::no_ring;
  return r;
}

vision::FrameResult ring(vision::Pose2 board_from_hoop = {{2.0, 3.0}, 0.01}) {
  vision::FrameResult r;
  r.status = vision::Status::no_sticker;
  r.board_from_hoop = board_from_hoop;
  return r;
}

vision::FrameResult cloth(int sticker = 7) {
  vision::FrameResult r;
  r.status = vision::Status::no_ring;
  r.stickers.push_back({});
  r.stickers.back().number = sticker;
  r.stickers.back().tags_seen = 4;
  return r;
}

vision::FrameResult pressed(double x_mm = 1.0, double y_mm = -2.0, double rotation_deg = 0.5, int sticker = 7) {
  vision::FrameResult r = cloth(sticker);
  r.status = vision::Status::ok;
  r.board_from_hoop = vision::Pose2{{2.0, 3.0}, 0.01};
  vision::Reading reading;
  reading.offset_x_mm = x_mm;
  reading.offset_y_mm = y_mm;
  reading.rotation_deg = rotation_deg;
  const double noise = kNoiseMm * kNoiseMm, shared = kSharedMm * kSharedMm;
  reading.noise_covariance = cv::Matx33d::diag({noise, noise, 1e-8});
  reading.covariance = cv::Matx33d::diag({noise + shared, noise + shared, 2e-8});
  r.reading = reading;
  return r;
}

// Shows one thing after another for so many seconds, and keeps the pieces that came out.
class Player {
 public:
  explicit Player(app::CycleOptions options = {}) : cycle(std::move(options)) {}
  Player& show(const vision::FrameResult& result, double seconds) {
    for (int i = 0; i < static_cast<int>(std::round(seconds / kFrame_s)); ++i) {
      if (auto piece = cycle.see(result, time_s)) pieces.push_back(*piece);
      time_s += kFrame_s;
    }
    return *this;
  }
  app::HoopingCycle cycle;
  std::vector<app::HoopedPiece> pieces;
  double time_s = 5.0;
};

}  // namespace

// Guarantees: the five steps follow from what is seen, without a touch. Example failure: the ring that is kept when a
// hand still holds it.
TEST_CASE("a piece goes through the five steps by what is seen", "[cycle]") {
  Player p;
  CHECK(p.cycle.phase() == Phase::set_hoop);
  p.show(nothing(), 1.0);
  CHECK(p.cycle.phase() == Phase::set_hoop);
  for (int i = 0; i < 10; ++i) p.show(ring({{2.0 + 0.5 * i, 3.0}, 0.01}), kFrame_s);  // still moved by hand
  CHECK(p.cycle.phase() == Phase::set_hoop);
  p.show(ring(), 1.0);
  CHECK(p.cycle.phase() == Phase::lay_cloth);
  REQUIRE(p.cycle.kept_hoop().has_value());
  CHECK(p.cycle.kept_hoop()->origin_mm == cv::Point2d(2.0, 3.0));
  p.show(cloth(), 3.0);
  CHECK(p.cycle.phase() == Phase::lay_cloth);
  p.show(pressed(), 0.4);
  CHECK(p.cycle.phase() == Phase::press);
  CHECK(p.cycle.stillness() > 0.0);
  CHECK(p.cycle.stillness() < 1.0);
  p.show(pressed(), 0.6);
  CHECK(p.cycle.phase() == Phase::enter);
  REQUIRE(p.cycle.held().has_value());
  CHECK(p.cycle.take());
  p.show(nothing(), 1.0);
  CHECK(p.cycle.phase() == Phase::lift);
  CHECK(p.pieces.empty());
  p.show(nothing(), 2.0);
  REQUIRE(p.pieces.size() == 1);
  CHECK(p.cycle.phase() == Phase::set_hoop);
  CHECK(p.pieces[0].number == 1);
  CHECK(p.pieces[0].sticker == 7);
  CHECK(p.pieces[0].taken);
  CHECK(p.pieces[0].tries == 1);
  CHECK_THAT(p.pieces[0].reading.offset_x_mm, WithinAbs(1.0, 1e-12));
  CHECK_THAT(p.pieces[0].phase_s[static_cast<int>(Phase::lay_cloth)], WithinAbs(3.3, 0.15));  // and the ring before
  CHECK(!p.cycle.kept_hoop());
  CHECK(!p.cycle.held());
}

TEST_CASE("a hoop lifted without a word is a piece as well, not called taken", "[cycle]") {
  Player p;
  p.show(ring(), 1.0).show(cloth(), 1.0).show(pressed(), 1.0).show(nothing(), 3.0);
  REQUIRE(p.pieces.size() == 1);
  CHECK(!p.pieces[0].taken);
}

TEST_CASE("a hand over the held piece neither ends nor doubles it", "[cycle]") {
  Player p;
  p.show(ring(), 1.0).show(cloth(), 1.0).show(pressed(), 1.0);
  p.show(nothing(), 1.5).show(pressed(), 1.0).show(nothing(), 1.9).show(pressed(), 1.0);
  CHECK(p.cycle.phase() == Phase::enter);
  CHECK(p.pieces.empty());
  p.show(nothing(), 3.0);
  CHECK(p.pieces.size() == 1);
}

// Guarantees: only the noise part of the uncertainty shrinks. Example failure: a hundred frames make the lens's error
// vanish.
TEST_CASE("averaging shrinks only the noise part of the uncertainty", "[cycle]") {
  app::ReadingAverage average;
  CHECK(!average.mean());
  for (int i = 0; i < 16; ++i) average.add(*pressed(1.0 + (i % 2 == 0 ? 0.1 : -0.1)).reading);
  const auto mean = average.mean();
  REQUIRE(mean.has_value());
  CHECK_THAT(mean->offset_x_mm, WithinAbs(1.0, 1e-12));
  CHECK_THAT(mean->u_offset_mm, WithinAbs(2.0 * std::sqrt(kSharedMm * kSharedMm + kNoiseMm * kNoiseMm / 16.0), 1e-12));
}

TEST_CASE("angles on both sides of half a turn average to half a turn", "[cycle]") {
  app::ReadingAverage average;
  average.add(*pressed(0, 0, 179.9).reading);
  average.add(*pressed(0, 0, -179.7).reading);
  CHECK_THAT(average.mean()->rotation_deg, WithinAbs(-179.9, 1e-9));
}

TEST_CASE("a reading is held only when it lay still, and what moved before does not count", "[cycle]") {
  Player p;
  p.show(ring(), 1.0).show(cloth(), 1.0);
  for (int i = 0; i < 20; ++i) p.show(pressed(9.0 - 0.4 * i), kFrame_s);
  CHECK(p.cycle.phase() == Phase::press);
  p.show(pressed(), 1.0);
  REQUIRE(p.cycle.held().has_value());
  CHECK_THAT(p.cycle.held()->offset_x_mm, WithinAbs(1.0, 1e-9));
}

TEST_CASE("cloth that slips between press and enter is noticed, a passing hand is not a slip", "[cycle]") {
  Player p;
  p.show(ring(), 1.0).show(cloth(), 1.0).show(pressed(), 1.0);
  p.show(pressed(1.9), 0.3).show(pressed(), 0.3);
  CHECK(p.cycle.notice() == app::CycleNotice::none);
  p.show(pressed(1.9), 1.0);
  CHECK(p.cycle.notice() == app::CycleNotice::cloth_slipped);
  SECTION("repeated, the new place is held") {
    CHECK(p.cycle.repeat());
    p.show(pressed(1.9), 1.0);
    CHECK(p.cycle.notice() == app::CycleNotice::none);
    p.show(nothing(), 3.0);
    REQUIRE(p.pieces.size() == 1);
    CHECK_THAT(p.pieces[0].reading.offset_x_mm, WithinAbs(1.9, 1e-9));
    CHECK(p.pieces[0].tries == 2);
  }
  SECTION("lifted, the record says so") {
    p.show(nothing(), 3.0);
    REQUIRE(p.pieces.size() == 1);
    CHECK(p.pieces[0].notice == app::CycleNotice::cloth_slipped);
  }
}

TEST_CASE("a ring that shifts under the cloth is noticed when it is seen again", "[cycle]") {
  Player p;
  p.show(ring({{4.0, 3.0}, 0.01}), 1.0).show(cloth(), 1.0).show(pressed(), 0.5);
  CHECK(p.cycle.notice() == app::CycleNotice::hoop_shifted);
  Player q;
  q.show(ring(), 1.0).show(cloth(), 1.0).show(pressed(), 0.5);
  CHECK(q.cycle.notice() == app::CycleNotice::none);
}

TEST_CASE("the wrong sticker is not held, and said", "[cycle]") {
  app::CycleOptions options;
  options.stickers = {3, 4};
  Player p(options);
  p.show(ring(), 1.0).show(cloth(), 1.0).show(pressed(), 3.0);
  CHECK(p.cycle.phase() == Phase::press);
  CHECK(p.cycle.notice() == app::CycleNotice::wrong_sticker);
  p.show(pressed(1, -2, 0.5, 4), 1.0);
  CHECK(p.cycle.phase() == Phase::enter);
  CHECK(p.cycle.notice() == app::CycleNotice::none);
}

TEST_CASE("a second sticker and a hoop the wrong way round are said", "[cycle]") {
  Player p;
  vision::FrameResult two = cloth();
  two.status = vision::Status::several_stickers;
  p.show(two, 0.1);
  CHECK(p.cycle.notice() == app::CycleNotice::none);  // not at the first frame's word
  p.show(two, 0.5);
  CHECK(p.cycle.notice() == app::CycleNotice::second_sticker);
  p.show(ring({{2.0, 3.0}, 3.1}), 0.5);
  CHECK(p.cycle.notice() == app::CycleNotice::hoop_reversed);
}

TEST_CASE("the operator's word counts only where it means something", "[cycle]") {
  Player p;
  CHECK(!p.cycle.take());
  CHECK(!p.cycle.repeat());
  p.show(ring(), 1.0);
  CHECK(!p.cycle.take());
  CHECK(p.cycle.start_over());
  CHECK(p.cycle.phase() == Phase::set_hoop);
  CHECK(!p.cycle.kept_hoop());
}

// Guarantees: whatever happens in whatever order, every piece that was held and then left is recorded once, with the
// reading of its own sticker, numbered without a gap, and the way on is always open.
// Example failure: the reading of the last piece shown for the next one.
TEST_CASE("random work leaves no piece lost, doubled or mixed with another", "[cycle]") {
  std::mt19937 random(20);
  const auto pick = [&](int n) { return static_cast<int>(random() % static_cast<unsigned>(n)); };
  for (int walk = 0; walk < 200; ++walk) {
    Player p;
    int held_and_left = 0, sticker = 1;
    for (int step = 0; step < 60; ++step) {
      const auto held_before = p.cycle.held();
      const std::size_t before = p.pieces.size();
      const double x_mm = sticker;  // each sticker has a place of its own
      const double seconds = 0.1 * (1 + pick(40));
      switch (pick(8)) {
        case 0:
          p.show(nothing(), seconds);
          break;
        case 1:
          p.show(ring(), seconds);
          break;
        case 2:
          p.show(cloth(sticker), seconds);
          break;
        case 3:
        case 4:
          p.show(pressed(x_mm, 0.0, 0.0, sticker), seconds);
          break;
        case 5:
          sticker = 1 + pick(50);
          break;
        case 6:
          p.cycle.take();
          break;
        default:
          if (pick(4) == 0) p.cycle.repeat();
          break;
      }
      for (std::size_t i = before; i < p.pieces.size(); ++i) {
        ++held_and_left;
        CHECK(p.pieces[i].number == held_and_left);
        CHECK_THAT(p.pieces[i].reading.offset_x_mm, WithinAbs(p.pieces[i].sticker, 1e-9));
      }
      if (held_before && p.pieces.size() == before && !p.cycle.held()) {
        // Only the operator's own wish for another reading drops one.
        CHECK(p.cycle.phase() == Phase::press);
      }
      if (p.cycle.held()) CHECK((p.cycle.phase() == Phase::enter || p.cycle.phase() == Phase::lift));
    }
    // From wherever it ended, an ordinary piece comes through.
    p.show(nothing(), 5.0);
    const std::size_t before = p.pieces.size();
    p.show(ring(), 2.0).show(cloth(60), 1.0).show(pressed(60.0, 0.0, 0.0, 60), 2.0).show(nothing(), 5.0);
    REQUIRE(p.pieces.size() == before + 1);
    CHECK(p.pieces.back().sticker == 60);
    CHECK(p.pieces.back().number == static_cast<int>(p.pieces.size()));
  }
}
