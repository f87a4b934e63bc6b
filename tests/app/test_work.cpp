// What a view shows about the work: guide, live and held reading, the hidden ring, words; on made-up results.
#include "app/work/work.h"
#include "app/work/work_words.h"
#include "tests/app/fake_result.h"
#include "tests/catch.h"

namespace {

using app::Phase;
using app::ShownReading;
using vision::Status;

const vision::Pose2 kHoop{{12.0, -7.0}, 90.0 * vision::kRadPerDeg};

vision::FrameResult nothing() { return fake::no_reading(fake::station(), fake::straight_down(), Status::no_ring); }

vision::FrameResult pressed(double x_mm = 1.0, double y_mm = 0.5, double deg = 0.2) {
  return fake::result(fake::station(), fake::hoop(), fake::straight_down(), kHoop, x_mm, y_mm, deg);
}

vision::FrameResult ring() {
  vision::FrameResult r = pressed();
  r.status = Status::no_sticker;
  r.reading.reset();
  r.stickers.clear();
  return r;
}

// The cloth over the ring; its sticker at a place on the board.
vision::FrameResult cloth(double x_mm = 12.0, double y_mm = -7.0, double deg = 90.0) {
  vision::FrameResult r = nothing();
  vision::SeenSticker s;
  s.number = 7;
  s.tags_seen = 4;
  s.board_from_sticker = {{x_mm, y_mm}, deg * vision::kRadPerDeg};
  r.stickers.push_back(s);
  return r;
}

class Played {
 public:
  Played& show(const vision::FrameResult& result, double seconds) {
    for (int i = 0; i < static_cast<int>(seconds * 10.0 + 0.5); ++i, measured.frame.time_s += 0.1) {
      measured.result = result;
      const app::WorkNews news = work.see(measured);
      if (news.piece) pieces.push_back(*news.piece);
      locked += news.locked ? 1 : 0;
      if (!news.other_hoop.empty()) others.push_back(news.other_hoop);
    }
    return *this;
  }
  std::string headline() const { return app::work_words(work).headline; }

  app::Work work{fake::station(), fake::hoop()};
  app::Measured measured;
  std::vector<app::HoopedPiece> pieces;
  std::vector<std::string> others;
  int locked = 0;
};

}  // namespace

// By hand: the hoop's east points away from the operator (turned by 90), its north to the operator's left. A sticker
// 5 mm right of its centre lies 5 mm south of it; 2 mm further away, 2 mm east.
TEST_CASE("the way of the cloth to the hoop as it was set", "[work][sign]") {
  Played p;
  p.show(ring(), 1.0).show(cloth(12.0 + 5.0, -7.0 + 2.0, 93.0), 0.5);
  REQUIRE(p.work.shown());
  const ShownReading& guide = *p.work.shown();
  CHECK(guide.kind == ShownReading::Kind::guide);
  CHECK_THAT(guide.reading.offset_x_mm, WithinAbs(2.0, 1e-9));
  CHECK_THAT(guide.reading.offset_y_mm, WithinAbs(-5.0, 1e-9));
  CHECK_THAT(guide.reading.rotation_deg, WithinAbs(3.0, 1e-9));
  CHECK_FALSE(p.work.within().both());
  CHECK(p.headline() == "Move the cloth");
  p.show(cloth(12.5, -7.0, 90.0), 0.2);
  CHECK(p.work.within().both());
  CHECK(p.headline() == "Press the ring in");
}

// The ring was drawn where it lay: seen and hidden outlines are the same to the pixel.
TEST_CASE("the hidden ring's outlines are those that were seen", "[work]") {
  Played p;
  p.show(ring(), 1.0);
  CHECK(p.work.kept_inner_px().empty());
  p.show(cloth(), 0.3);
  const vision::FrameResult seen = ring();
  REQUIRE(p.work.kept_inner_px().size() == seen.inner_px.size());
  REQUIRE(p.work.kept_outer_px().size() == seen.outer_px.size());
  for (std::size_t i = 0; i < seen.inner_px.size(); ++i)
    CHECK(cv::norm(p.work.kept_inner_px()[i] - seen.inner_px[i]) < 1e-6);
  p.show(pressed(), 0.2);
  CHECK(p.work.kept_inner_px().empty());
}

// Guarantees: nothing is guided to a hoop that may not be there any more. Example failure: the next garment is brought
// to where the last hoop lay.
TEST_CASE("no guide without a kept hoop and one plain sticker", "[work]") {
  Played p;
  p.show(cloth(), 0.5);
  CHECK_FALSE(p.work.shown());
  p.show(ring(), 1.0).show(cloth(), 0.2);
  CHECK(p.work.shown());
  SECTION("two stickers") {
    vision::FrameResult two = cloth();
    two.stickers.push_back(two.stickers.front());
    CHECK_FALSE(p.show(two, 0.1).work.shown());
  }
  SECTION("too little of it") {
    vision::FrameResult poor = cloth();
    poor.stickers.front().tags_seen = 1;
    CHECK_FALSE(p.show(poor, 0.1).work.shown());
  }
  SECTION("frames that say nothing of the ring") {
    for (const Status status : {Status::several_stickers, Status::no_sticker, Status::no_board, Status::blurred,
                                Status::moving, Status::sticker_covered}) {
      vision::FrameResult other = cloth();
      other.status = status;
      CHECK_FALSE(p.show(other, 0.1).work.shown());
    }
  }
  SECTION("after the piece") {
    p.show(pressed(), 1.5).show(nothing(), 3.0).show(cloth(), 0.5);
    CHECK(p.pieces.size() == 1);
    CHECK_FALSE(p.work.shown());
  }
  SECTION("after the board moved") {
    vision::FrameResult moved = nothing();
    moved.status = Status::board_moved;
    p.show(moved, 1.0).show(cloth(), 0.2);
    CHECK_FALSE(p.work.shown());
  }
  SECTION("after the frames were lost") {
    p.work.frames_lost();
    CHECK_FALSE(p.work.shown());
    CHECK(p.headline() == "Waiting for the camera");
    p.show(cloth(), 0.5);
    CHECK_FALSE(p.work.shown());
  }
  SECTION("to another sticker than the job's") {
    app::Job job;
    job.stickers = {8};
    p.work.set_job(job);
    p.show(cloth(), 0.5);
    CHECK_FALSE(p.work.shown());
    CHECK(p.headline() == "Wrong sticker");
  }
}

TEST_CASE("live in press, held in enter and lift", "[work]") {
  Played p;
  p.show(ring(), 1.0).show(cloth(), 0.5).show(pressed(), 0.3);
  REQUIRE(p.work.shown());
  CHECK(p.work.shown()->kind == ShownReading::Kind::live);
  CHECK(p.headline() == "Hold still");
  p.show(pressed(), 1.0);
  CHECK(p.work.shown()->kind == ShownReading::Kind::held);
  CHECK(p.locked == 1);
  CHECK(p.headline() == "Enter at the machine");
  CHECK(p.work.take());
  CHECK(p.headline() == "Lift the hoop out");
  p.show(nothing(), 1.0);
  CHECK(p.work.cycle().phase() == Phase::lift);
  REQUIRE(p.work.shown());
  CHECK(p.work.shown()->kind == ShownReading::Kind::held);
  p.work.frames_lost();
  CHECK(p.work.shown());
  p.show(nothing(), 3.0);
  CHECK_FALSE(p.work.shown());
  REQUIRE(p.pieces.size() == 1);
  CHECK(p.work.pieces() == 1);
}

TEST_CASE("a reading taken again is locked again", "[work]") {
  Played p;
  p.show(pressed(), 1.5);
  CHECK(p.locked == 1);
  CHECK(p.work.repeat());
  CHECK_FALSE(p.work.cycle().held());
  p.show(pressed(), 1.5);
  CHECK(p.locked == 2);
}

// Guarantees: whoever changes job or hoop loses no record. Example failure: the ticket of the next job, laid while the
// last hoop is carried off, swallows its piece.
TEST_CASE("a change of job or hoop gives the held piece back", "[work]") {
  Played p;
  p.show(pressed(), 1.5);
  SECTION("the job, while it still lies there: it goes on with the new one") {
    CHECK_FALSE(p.work.set_job(app::Job{}));
    CHECK(p.work.cycle().held());
  }
  SECTION("the job, while it is carried off") {
    p.show(nothing(), 1.0);
    CHECK(p.work.set_job(app::Job{}));
    CHECK_FALSE(p.work.cycle().held());
    CHECK(p.work.pieces() == 1);
  }
  SECTION("the hoop") {
    vision::Hoop other = fake::hoop();
    other.name = "another";
    CHECK(p.work.set_hoop(other));
    CHECK_FALSE(p.work.shown());
    CHECK(p.work.hoop().name == "another");
    CHECK(p.work.cycle().phase() == Phase::set_hoop);
  }
}

TEST_CASE("another hoop is said once and as long as it lies there", "[work]") {
  Played p;
  p.measured.other_hoop = "small one";
  p.show(nothing(), 1.0);
  CHECK(p.others == std::vector<std::string>{"small one"});
  const app::WorkWords words = app::work_words(p.work);
  CHECK(words.headline == "Wrong hoop");
  CHECK(words.mood == app::WorkMood::problem);
  CHECK(words.sentence.find("small one") != std::string::npos);
  CHECK(words.sentence.find(fake::hoop().name) != std::string::npos);
  p.measured.other_hoop.clear();
  p.show(nothing(), 1.0);
  CHECK(p.headline() == "Set the hoop");
}

// Guarantees: whatever a frame says, there are words for it that fit the screen. Example failure: an empty headline for
// a board that moved.
TEST_CASE("there are words for whatever is seen", "[work][words]") {
  const auto check = [](const app::Work& work) {
    const app::WorkWords words = app::work_words(work);
    INFO(words.headline << ": " << words.sentence);
    CHECK((words.headline.size() > 3 && words.headline.size() <= 28));
    CHECK((words.sentence.size() > 10 && words.sentence.size() <= 110));
    CHECK((words.sentence.back() == '.' && words.sentence.find('%') == std::string::npos));
  };
  for (int i = 0; i < vision::kStatusCount; ++i) {
    vision::FrameResult odd = nothing();
    odd.status = static_cast<Status>(i);
    for (const bool with_sticker : {false, true}) {
      if (with_sticker) odd.stickers = cloth().stickers;
      Played p;
      check(p.work);
      check(p.show(odd, 1.0).work);
      check(p.show(ring(), 1.0).show(odd, 1.0).work);
      check(p.show(pressed(), 0.4).show(odd, 0.5).work);
      check(p.show(pressed(), 1.5).show(odd, 1.0).work);
      p.work.take();
      check(p.work);
    }
  }
  for (int i = 0; i < app::kCycleNoticeCount; ++i) {
    const auto notice = static_cast<app::CycleNotice>(i);
    CHECK(app::notice_headline(notice).empty() == (notice == app::CycleNotice::none));
  }
}

TEST_CASE("a passing hand does not make the words flicker", "[work][words]") {
  Played p;
  vision::FrameResult covered = nothing();
  covered.status = Status::ring_covered;
  p.show(nothing(), 1.0).show(covered, 0.1);
  CHECK(p.headline() == "Set the hoop");
  p.show(covered, 1.0);
  CHECK(p.headline() == "Ring covered");
}
