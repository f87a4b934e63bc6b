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
  Player& show(const vision::FrameResult& result, double seconds, bool other_hoop = false) {
    for (int i = 0; i < static_cast<int>(std::round(seconds / kFrame_s)); ++i) {
      if (auto piece = cycle.see(result, time_s, other_hoop)) pieces.push_back(*piece);
      time_s += kFrame_s;
    }
    return *this;
  }
  // An ordinary piece up to the held reading.
  Player& hoop_piece() { return show(ring(), 1.0).show(cloth(), 1.0).show(pressed(), 1.0); }
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
  p.show(ring({{4.0, 3.0}, 0.01}), 1.0).show(cloth(), 1.0).show(pressed(), 0.6);
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

// Guarantees: a hand over the sticker alone neither ends nor doubles the piece. Example failure: recorded after the
// second, because the ring seems to lie there empty, and once more when the hand is gone.
TEST_CASE("the held hoop with its sticker covered or peeled off is no new hoop", "[cycle]") {
  Player p;
  p.hoop_piece().show(ring(), 5.0);
  CHECK(p.cycle.phase() == Phase::enter);
  CHECK(p.pieces.empty());
  SECTION("covered") {
    p.show(pressed(), 1.0);
    CHECK(p.cycle.phase() == Phase::enter);
  }
  SECTION("a ring set elsewhere is the next one") {
    p.show(ring({{25.0, 3.0}, 0.01}), 2.0);
    CHECK(p.pieces.size() == 1);
  }
  p.show(nothing(), 3.0);
  CHECK(p.pieces.size() == 1);
}

// Guarantees: pressed anew, the piece is read anew without a touch. Example failure: the first, bad hooping is
// recorded.
TEST_CASE("a ring pressed anew over the same sticker is read anew", "[cycle]") {
  Player p;
  p.hoop_piece();
  SECTION("before it was taken: one piece, the last reading") {
    p.show(cloth(), 4.0).show(pressed(0.2), 2.0).show(nothing(), 3.0);
    REQUIRE(p.pieces.size() == 1);
    CHECK_THAT(p.pieces[0].reading.offset_x_mm, WithinAbs(0.2, 1e-9));
    CHECK(p.pieces[0].tries == 2);
  }
  SECTION("after it was taken: what was entered is a piece of its own") {
    p.cycle.take();
    p.show(cloth(), 4.0).show(pressed(0.2), 2.0).show(nothing(), 3.0);
    REQUIRE(p.pieces.size() == 2);
    CHECK_THAT(p.pieces[0].reading.offset_x_mm, WithinAbs(1.0, 1e-9));
    CHECK_THAT(p.pieces[1].reading.offset_x_mm, WithinAbs(0.2, 1e-9));
  }
  SECTION("with the same reading it is the same") {
    p.show(cloth(), 4.0).show(pressed(), 2.0).show(nothing(), 3.0);
    REQUIRE(p.pieces.size() == 1);
    CHECK(p.pieces[0].tries == 1);
  }
}

// Guarantees: nothing seen before the gap counts as seen after it, and no record is lost by it. Example failure: held
// after 0.4 s before and 0.4 s after a minute without a camera.
TEST_CASE("frames that were lost", "[cycle]") {
  Player p;
  SECTION("stillness starts anew") {
    p.show(ring(), 1.0).show(cloth(), 1.0).show(pressed(), 0.6);
    p.cycle.frames_lost();
    p.time_s += 60.0;
    p.show(pressed(), 0.6);
    CHECK(!p.cycle.held());
    p.show(pressed(), 0.4);
    CHECK(p.cycle.held());
  }
  SECTION("the kept hoop is not kept") {
    p.show(ring(), 1.0).show(cloth(), 1.0);
    p.cycle.frames_lost();
    CHECK(!p.cycle.kept_hoop());
    CHECK(p.cycle.phase() == Phase::set_hoop);
    p.show(pressed(), 1.0);
    CHECK(p.cycle.held());
    CHECK(p.cycle.notice() == app::CycleNotice::none);
  }
  SECTION("what is held stays held, and is recorded once its hoop is gone") {
    p.hoop_piece();
    p.cycle.frames_lost();
    p.time_s += 600.0;
    CHECK(p.cycle.held());
    SECTION("at once") {
      p.show(nothing(), 1.0);
      CHECK(p.pieces.empty());
      p.show(nothing(), 2.0);
    }
    SECTION("after it was seen again") {
      p.show(pressed(), 1.0);
      CHECK(p.cycle.phase() == Phase::enter);
      p.show(nothing(), 3.0);
    }
    SECTION("the next piece lies there") {
      p.show(pressed(3.0, 0.0, 0.0, 9), 1.0);
      CHECK(p.pieces.size() == 1);
    }
    SECTION("the next piece lies there, with a sticker of the same number") {
      vision::FrameResult next = pressed(3.0, 0.0, 0.0);
      next.board_from_hoop = vision::Pose2{{9.0, 3.0}, 0.01};
      p.show(next, 2.0);
      CHECK(p.pieces.size() == 1);
      CHECK(p.cycle.held());
      CHECK_THAT(p.cycle.held()->offset_x_mm, WithinAbs(3.0, 1e-9));
    }
    SECTION("the cloth slipped meanwhile in a hoop that did not move") {
      p.show(pressed(1.9), 1.5);
      CHECK(p.cycle.notice() == app::CycleNotice::cloth_slipped);
      p.show(nothing(), 3.0);
    }
    REQUIRE(p.pieces.size() == 1);
    CHECK_THAT(p.pieces[0].reading.offset_x_mm, WithinAbs(1.0, 1e-9));
    CHECK(p.pieces[0].phase_s[static_cast<int>(Phase::enter)] < 5.0);
    CHECK(p.pieces[0].lifted_s >= p.pieces[0].started_s);
  }
}

// Guarantees: a clock that jumps, either way, neither holds too early nor makes durations wrong. Example failure: a
// step of an hour counts as an hour of stillness.
TEST_CASE("frame times that jump", "[cycle]") {
  for (const double jump_s : {-3000.0, -0.5, 2.5, 90000.0}) {
    INFO("jump " << jump_s);
    Player p;
    p.show(ring(), 1.0).show(cloth(), 1.0).show(pressed(), 0.4);
    p.time_s += jump_s;
    p.show(pressed(), 0.6);
    CHECK(!p.cycle.held());
    p.show(pressed(), 0.3);
    CHECK(p.cycle.held());
    p.time_s -= jump_s;
    p.show(pressed(), 1.0);
    CHECK(p.cycle.phase() == Phase::enter);
    p.show(nothing(), 1.0);
    CHECK(p.pieces.empty());
    p.time_s += jump_s;
    p.show(nothing(), 1.5);
    REQUIRE(p.pieces.size() == 1);
    double all_s = 0.0;
    for (const double s : p.pieces[0].phase_s) {
      CHECK(s >= 0.0);
      all_s += s;
    }
    CHECK_THAT(all_s, WithinAbs(6.5, 1.0));
  }
  Player p;
  p.show(pressed(), 0.5);
  p.time_s = std::nan("");
  p.show(pressed(), 0.3);
  p.time_s = 1.0;
  p.show(pressed(), 1.0);
  CHECK(p.cycle.held());
}

TEST_CASE("nothing is held while something contradicts it", "[cycle][notice]") {
  Player p;
  SECTION("another hoop") {
    p.show(pressed(), 3.0, true);
    CHECK(p.cycle.notice() == app::CycleNotice::wrong_hoop);
    CHECK(!p.cycle.held());
  }
  SECTION("the hoop's north against the sticker's arrow") {
    p.show(pressed(1.0, -2.0, 176.0), 3.0);
    CHECK(p.cycle.notice() == app::CycleNotice::hoop_reversed);
    CHECK(!p.cycle.held());
    CHECK(p.cycle.take());
    p.show(pressed(1.0, -2.0, 176.0), 1.0);
    CHECK(p.cycle.held());
    CHECK(p.cycle.notice() == app::CycleNotice::none);
  }
  p.show(nothing(), 3.0).hoop_piece();
  CHECK(p.cycle.held());
}

// Who works with the hoop's north toward himself, garment and all, is told once at most.
TEST_CASE("a hoop that lies the other way round with its cloth is as it is meant", "[cycle][notice]") {
  Player p;
  vision::FrameResult turned = pressed();
  turned.board_from_hoop = vision::Pose2{{2.0, 3.0}, 3.1};
  p.show(turned, 1.5);
  CHECK(p.cycle.held());
  p.show(nothing(), 3.0);
  p.show(ring({{2.0, 3.0}, -3.1}), 1.0);
  CHECK(p.cycle.notice() == app::CycleNotice::none);
  p.show(ring({{2.0, 3.0}, 0.0}), 1.0);
  CHECK(p.cycle.notice() == app::CycleNotice::hoop_reversed);
}

TEST_CASE("another hoop set in place of the held one finishes the piece", "[cycle]") {
  Player p;
  p.hoop_piece();
  p.show(nothing(), 0.5).show(nothing(), 0.5, true);
  CHECK(p.pieces.size() == 1);
  Player q;
  q.hoop_piece();
  const auto piece = q.cycle.finish();
  REQUIRE(piece);
  CHECK(piece->number == 1);
  CHECK(!q.cycle.finish());
  q.show(nothing(), 5.0);
  CHECK(q.pieces.empty());
}

TEST_CASE("a hoop carried off before it was read leaves nothing behind", "[cycle]") {
  Player p;
  p.show(ring(), 1.0).show(cloth(), 1.0).show(pressed(), 0.5).show(nothing(), 3.0);
  CHECK(p.cycle.phase() == Phase::set_hoop);
  CHECK(!p.cycle.kept_hoop());
  CHECK(p.pieces.empty());
}

// Guarantees: whatever happens in whatever order, every piece that was held and then left is recorded once, with the
// reading of its own sticker, numbered without a gap, and the way on is always open.
// Example failure: the reading of the last piece shown for the next one.
TEST_CASE("random work leaves no piece lost, doubled or mixed with another", "[cycle]") {
  std::mt19937 random(20);
  const auto pick = [&](int n) { return static_cast<int>(random() % static_cast<unsigned>(n)); };
  int pieces_in_all = 0;
  for (int walk = 0; walk < 300; ++walk) {
    Player p;
    int sticker = 1;
    bool dropped = false;
    for (int step = 0; step < 60; ++step) {
      const auto held_before = p.cycle.held();
      const std::size_t before = p.pieces.size();
      const double x_mm = sticker;  // each sticker has a place of its own
      const double seconds = 0.1 * (1 + pick(40));
      vision::FrameResult shown = pressed(x_mm, 0.0, 0.0, sticker);
      shown.board_from_hoop->origin_mm.x = sticker;  // each hoop, too
      dropped = false;
      switch (pick(14)) {
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
        case 5:
          p.show(shown, seconds);
          break;
        case 6:
          sticker = 1 + pick(50);
          break;
        case 7:
          p.cycle.take();
          break;
        case 8:
          dropped = pick(4) == 0 && p.cycle.repeat();
          break;
        case 9:
          p.cycle.frames_lost();
          p.time_s += pick(2) * 100.0;
          break;
        case 10:
          p.time_s += pick(3) == 0 ? 50.0 : -20.0;
          break;
        case 11:
          p.cycle.set_stickers(pick(2) == 0 ? std::vector<int>{} : std::vector<int>{sticker, 1 + pick(50)});
          break;
        case 12:  // another hoop or job takes over
          if (auto piece = pick(3) == 0 ? p.cycle.finish() : std::nullopt) p.pieces.push_back(*piece);
          break;
        default:
          p.show(nothing(), seconds, true);  // another hoop lies there
          break;
      }
      for (std::size_t i = before; i < p.pieces.size(); ++i) {
        ++pieces_in_all;
        CHECK(p.pieces[i].number == static_cast<int>(i) + 1);
        CHECK_THAT(p.pieces[i].reading.offset_x_mm, WithinAbs(p.pieces[i].sticker, 1e-9));
        for (const double s : p.pieces[i].phase_s) CHECK((s >= 0.0 && s < 300.0));
      }
      // Only the operator's own wish for another reading drops one.
      if (held_before && p.pieces.size() == before && !p.cycle.held()) CHECK(dropped);
      CHECK(p.cycle.held().has_value() == (p.cycle.phase() == Phase::enter || p.cycle.phase() == Phase::lift));
      // A piece is held only while its own sticker could be: never the last one's.
      if (p.cycle.held()) CHECK(std::abs(p.cycle.held()->offset_x_mm - std::round(p.cycle.held()->offset_x_mm)) < 1e-9);
    }
    // From wherever it ended, an ordinary piece comes through.
    p.cycle.set_stickers({});
    p.show(nothing(), 5.0);
    const std::size_t before = p.pieces.size();
    p.show(ring(), 2.0).show(cloth(60), 1.0).show(pressed(60.0, 0.0, 0.0, 60), 2.0).show(nothing(), 5.0);
    REQUIRE(p.pieces.size() == before + 1);
    CHECK(p.pieces.back().sticker == 60);
    CHECK(p.pieces.back().number == static_cast<int>(p.pieces.size()));
  }
  CHECK(pieces_in_all > 300);  // the walks do go through pieces
}
