// Getting back onto the stitches at the desk: from frames to the machine's new entry, by stickers and by the box; and
// that the piece in hand rests meanwhile.
#include "app/places.h"
#include "app/resume/resume_session.h"
#include "app/resume/resume_words.h"
#include "tests/app/fake_result.h"
#include "tests/app/view_person.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

namespace {

using app::ResumeFault;
using app::ViewId;
using vision::Pose2;

constexpr double kDeg = vision::kRadPerDeg;

// A desk with a job whose design is 80 x 50 mm, and nobody's frames.
struct Bench {
  Bench() : desk({fake::station(), fake::hoop(), {fake::hoop()}, folder.path / "station.toml", nullptr}) {
    app::Job job;
    job.name = "begun";
    job.design_mm = cv::Size2d(80.0, 50.0);
    app::JobStore(app::job_folder(folder.path / "station.toml")).save(job);
    desk.look_again();
    desk.choose_job("begun");
  }

  // Stickers 31 and 32 with their crosses on points of the design, which lies in the hoop as told.
  vision::FrameResult frame(const Pose2& hoop_from_design, const std::vector<cv::Point2d>& points) const {
    const Pose2 board_from_hoop{{5.0, -4.0}, 0.1};
    vision::FrameResult all =
        fake::result(fake::station(), fake::hoop(), fake::straight_down(), board_from_hoop, 0, 0, 0);
    all.status = vision::Status::several_stickers;
    all.reading.reset();
    all.stickers.clear();
    int number = 31;
    for (const cv::Point2d& point : points) {
      const Pose2 at = vision::compose(hoop_from_design, {point, 0.0});
      vision::SeenSticker one = fake::result(fake::station(), fake::hoop(), fake::straight_down(), board_from_hoop,
                                             at.origin_mm.x, at.origin_mm.y, at.angle_rad / kDeg)
                                    .stickers.front();
      one.number = number++;
      one.good = true;
      one.covariance = cv::Matx33d::diag({4e-4, 4e-4, 1e-6});
      all.stickers.push_back(one);
    }
    return all;
  }
  void show(const vision::FrameResult& result, int frames, app::ResumeSession* session = nullptr) {
    for (int i = 0; i < frames; ++i) {
      app::Measured measured;
      measured.result = result;
      measured.frame.time_s = time_s += 0.1;
      desk.see(std::move(measured));
      if (session != nullptr) session->see(desk), session->see(desk);  // drawn twice a frame
    }
  }

  TemporaryFolder folder;
  app::Desk desk;
  double time_s = 10.0;
};

const std::vector<cv::Point2d> kCorners{{-45.0, -30.0}, {45.0, 30.0}};

}  // namespace

TEST_CASE("stickers on the box's corners give the design's new place", "[resume][desk]") {
  Bench bench;
  const Pose2 truth{{2.0, -6.0}, 12.0 * kDeg};
  bench.desk.open(ViewId::resume);
  app::ResumeSession session;
  session.enter(bench.desk);
  bench.show(bench.frame(truth, kCorners), 5, &session);
  CHECK_FALSE(session.answer());
  bench.show(bench.frame(truth, kCorners), 5, &session);
  REQUIRE(session.answer());
  REQUIRE(session.answer()->fault == ResumeFault::none);
  CHECK(session.plan().points()[0].sticker == 31);  // found by itself
  CHECK_THAT(session.answer()->hoop_from_design.origin_mm.x, WithinAbs(2.0, 1e-6));
  CHECK_THAT(session.answer()->hoop_from_design.origin_mm.y, WithinAbs(-6.0, 1e-6));
  REQUIRE(session.piece());
  CHECK_THAT(session.piece()->hoop_from_design.angle_rad, WithinAbs(12.0 * kDeg, 1e-9));
  const app::ResumeWords words =
      app::resume_words(session.answer(), session.piece(), session.options(), app::Units::mm);
  CHECK(words.good);
  CHECK(words.sentence.find("12.0° counter-clockwise, its centre 2.0 mm right and 6.0 mm down") != std::string::npos);
  CHECK(app::resume_words(session.answer(), session.piece(), session.options(), app::Units::inch)
            .sentence.find("0.24 in down") != std::string::npos);
  SECTION("the wrong way about is said, not answered") {
    session.plan().choose(0);
    session.plan().give(32);
    session.plan().give(31);
    session.work_out(bench.desk);
    CHECK(session.answer()->fault == ResumeFault::arrow);
    CHECK_FALSE(session.piece());
  }
  SECTION("the piece in hand rests meanwhile, and goes on afterwards") {
    vision::FrameResult plain =
        fake::result(fake::station(), fake::hoop(), fake::straight_down(), {{5, -4}, 0.1}, 1, 1, 1);
    plain.reading->covariance = plain.reading->noise_covariance = cv::Matx33d::diag({1e-4, 1e-4, 1e-8});
    bench.show(plain, 30);
    CHECK_FALSE(bench.desk.work().cycle().held());
    bench.desk.back();
    bench.show(plain, 30);
    CHECK(bench.desk.work().cycle().held());
    bench.desk.open(ViewId::resume);
    bench.show(bench.frame(truth, kCorners), 30);
    CHECK(bench.desk.work().cycle().held());  // what was held stays so
    CHECK(bench.desk.work().pieces() == 0);
  }
}

// By hand: a box 92.4 mm wide and 60.6 high where 90 x 60 was sewn is at worst 1.2 mm off at each end.
TEST_CASE("the basting box itself gives the design's place", "[resume][box]") {
  const app::Design design = app::rectangle_design({80.0, 50.0});
  vision::StitchedRectangle box;
  box.status = vision::RectangleStatus::ok;
  box.hoop_from_rectangle = {{3.0, 4.0}, 20.0 * kDeg};
  box.covariance = cv::Matx33d::diag({0.01, 0.01, 4e-6});
  box.size_mm = {90.2, 60.0};
  box.u_size_mm = 0.2;
  app::ResumeAnswer answer = app::resume_by_box(box, design, 5.0, false);
  REQUIRE(answer.fault == ResumeFault::none);
  CHECK_THAT(answer.hoop_from_design.angle_rad, WithinAbs(20.0 * kDeg, 1e-12));
  CHECK_THAT(answer.misfit_mm, WithinAbs(0.1, 1e-9));
  // 0.1 mm of place and 0.002 rad at 47.2 mm, k = 2.
  CHECK_THAT(answer.far_corner_u_mm, WithinAbs(2.0 * std::hypot(0.1, 0.002 * 47.17), 1e-3));
  answer = app::resume_by_box(box, design, 5.0, true);
  CHECK_THAT(answer.hoop_from_design.angle_rad, WithinAbs(-160.0 * kDeg, 1e-12));
  box.size_mm = {92.4, 60.6};
  answer = app::resume_by_box(box, design, 5.0, false);
  CHECK(answer.fault == ResumeFault::misfit);
  CHECK_THAT(answer.misfit_mm, WithinAbs(1.2, 1e-9));
  box.look_alikes = 4;
  CHECK(app::resume_by_box(box, design, 5.0, false).fault == ResumeFault::too_few);
  CHECK_FALSE(app::box_trouble(box).empty());
  box.status = vision::RectangleStatus::weak_contrast;
  CHECK(app::resume_by_box(box, design, 5.0, false).fault == ResumeFault::too_few);
  CHECK_FALSE(app::box_trouble(box).empty());
}

TEST_CASE("the view fits every screen, with points and with an answer", "[resume][views]") {
  for (const cv::Size size : {cv::Size{1024, 600}, {1280, 800}, {1920, 1080}, {800, 1280}}) {
    Bench bench;
    ViewPerson person(bench.desk, size / 2);
    person.open(ViewId::resume);
    for (const char* label : {"Add", "Change it", "Move it", "Done", "Set the box", "Further", "Done", "Remove"}) {
      INFO(label << " at " << size.width << " x " << size.height);
      CHECK(person.touch(label));
    }
    for (int i = 0; i < 12; ++i) {
      bench.show(bench.frame({{2.0, -6.0}, 0.2}, {{-46.0, -31.0}, {46.0, 31.0}}), 1);
      person.draw();
    }
    CHECK(person.find("1: sticker 31") != nullptr);
    for (const std::string& cut : person.text().take_unfit()) FAIL_CHECK("cut: " << cut);
  }
}
