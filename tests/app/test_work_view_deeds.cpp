// What a person does at the work view: touch, keys, and the questions it asks.
#include "app/jobs/job_store.h"
#include "app/words/words.h"
#include "tests/app/screen_pictures.h"
#include "tests/app/work_bench.h"
#include "tests/catch.h"

namespace {

using View = app::WorkView;
const cv::Size kUsual(1280, 800);

}  // namespace

TEST_CASE("a touch on the small picture makes it the large one", "[workview]") {
  for (const cv::Size& size : {cv::Size(1280, 800), cv::Size(800, 1280)}) {
    WorkBench bench(size);
    bench.pressed(4.2, 3.1, 2.2, 0.1).draw();
    const cv::Mat live = bench.part(bench.layout().large);
    bench.touch(bench.layout().small);
    CHECK(bench.desk.settings().large_plan);
    bench.draw();  // no new frame: the last one's picture is laid into the small place
    const cv::Mat plan = bench.part(bench.layout().large);
    CHECK(difference(live, plan) > 0.3);
    // The frames are grey of 90, dimmed to 76: much of it in the small place now.
    cv::Mat grey;
    cv::inRange(bench.part(bench.layout().small), cv::Scalar(70, 70, 70), cv::Scalar(82, 82, 82), grey);
    CHECK(cv::countNonZero(grey) > 0.3 * static_cast<double>(grey.total()));
    // A touch on the large one does nothing.
    bench.touch(bench.layout().large);
    CHECK(bench.desk.settings().large_plan);
    bench.key(SDLK_v);
    CHECK_FALSE(bench.desk.settings().large_plan);
  }
}

TEST_CASE("a finger that slides off the small picture changes nothing", "[workview]") {
  WorkBench bench(kUsual);
  bench.pressed(4.2, 3.1, 2.2, 0.1).draw();
  const SDL_FRect& small = bench.layout().small;
  const SDL_FPoint in{small.x + 5.0F, small.y + 5.0F}, out{small.x - 50.0F, small.y + 5.0F};
  using Kind = app::InputEvent::Kind;
  bench.view.handle(app::pointer_event(Kind::pointer_down, in), bench.desk);
  bench.view.handle(app::pointer_event(Kind::pointer_up, out), bench.desk);
  bench.view.handle(app::pointer_event(Kind::pointer_down, out), bench.desk);
  bench.view.handle(app::pointer_event(Kind::pointer_up, in), bench.desk);
  CHECK_FALSE(bench.desk.settings().large_plan);
}

TEST_CASE("operator, job and menu are a touch away", "[workview]") {
  for (const auto& [id, view] : {std::pair{View::kOperator, app::ViewId::operators},
                                 {View::kJob, app::ViewId::jobs},
                                 {View::kMenu, app::ViewId::menu}}) {
    WorkBench bench(kUsual);
    REQUIRE(bench.press(id));
    CHECK(bench.desk.view() == view);
  }
}

TEST_CASE("take, read again and start over can be pressed where they mean something", "[workview]") {
  WorkBench bench(kUsual);
  for (const View::Id id : {View::kTake, View::kRepeat, View::kStartOver}) CHECK_FALSE(bench.press(id));
  bench.cloth_laid(1.0, 1.0, 0.2);
  CHECK_FALSE(bench.press(View::kTake));
  CHECK_FALSE(bench.press(View::kRepeat));
  bench.pressed(1.0, 1.0, 0.2, 2.0);
  REQUIRE(bench.press(View::kTake));
  CHECK(bench.desk.work().cycle().taken());
  CHECK_FALSE(bench.press(View::kTake));  // once is enough
  REQUIRE(bench.press(View::kRepeat));
  CHECK_FALSE(bench.desk.work().cycle().held());
  CHECK(bench.desk.work().cycle().phase() == app::Phase::press);
}

TEST_CASE("the Enter key takes the held reading", "[workview]") {
  WorkBench bench(kUsual);
  bench.held(1.0, 1.0, 0.2).draw();
  bench.key(SDLK_RETURN);
  CHECK(bench.desk.work().cycle().taken());
}

TEST_CASE("a held reading that nobody took is lost only by a second press within three seconds", "[workview]") {
  WorkBench bench(kUsual);
  bench.held(1.0, 1.0, 0.2);
  REQUIRE(bench.press(View::kStartOver));
  CHECK(bench.desk.work().cycle().held());
  bench.draw();
  CHECK(bench.button(View::kStartOver)->label != "Start over");  // it asks
  SECTION("pressed again at once") {
    bench.now_s += 1.0;
    REQUIRE(bench.press(View::kStartOver));
    CHECK_FALSE(bench.desk.work().cycle().held());
    CHECK(bench.desk.work().cycle().phase() == app::Phase::set_hoop);
    bench.draw();
    CHECK(bench.button(View::kStartOver)->label == "Start over");
  }
  SECTION("pressed again too late, it asks anew") {
    bench.now_s += 3.5;
    bench.draw();
    CHECK(bench.button(View::kStartOver)->label == "Start over");
    REQUIRE(bench.press(View::kStartOver));
    CHECK(bench.desk.work().cycle().held());
  }
  SECTION("Enter still takes, it does not lose") {
    bench.key(SDLK_RETURN);
    CHECK(bench.desk.work().cycle().taken());
  }
}

TEST_CASE("what is taken is started over at once", "[workview]") {
  WorkBench bench(kUsual);
  bench.held(1.0, 1.0, 0.2);
  REQUIRE(bench.press(View::kTake));
  REQUIRE(bench.press(View::kStartOver));
  CHECK_FALSE(bench.desk.work().cycle().held());
}

TEST_CASE("names and jobs stand on their buttons", "[workview]") {
  WorkBench bench(kUsual);
  CHECK(bench.desk.add_operator({.name = "Operator A", .badge = {}}));
  bench.desk.choose_operator("Operator A");
  bench.draw();
  CHECK(bench.button(View::kOperator)->label.find("Operator A") != std::string::npos);
  CHECK(bench.button(View::kJob)->label == "Choose job");
}

// Example failure: words of another language, or a long name, run out of their place.
TEST_CASE("everything on the work view fits, in every language and phase, with long names", "[workview]") {
  const auto nothing = fake::no_reading(fake::station(), fake::straight_down(), vision::Status::no_ring);
  vision::Hoop hoop = fake::hoop();
  hoop.name = "the large clamp of the second machine 01";  // 40 letters
  app::Job job;
  job.name = "Staff shirts, left chest, spring delivery";
  job.pieces = 1200;
  for (const app::Language& language : app::languages()) {
    for (const cv::Size& size : {cv::Size(1024, 600), cv::Size(1280, 800), cv::Size(800, 1280)}) {
      WorkBench bench(size / 2, fake::station(), hoop);  // drawn twice as large: with the letters of this size
      app::JobStore(app::job_folder(bench.desk.station_file())).save(job);
      bench.use_language(language.code);
      bench.desk.look_again();
      bench.desk.choose_job(job.name);
      CHECK(bench.desk.add_operator({.name = "Somebody with a name of many letters", .badge = {}}));
      bench.desk.choose_operator("Somebody with a name of many letters");
      REQUIRE(bench.desk.work().job());
      const auto look = [&](const char* phase) {
        bench.draw_only();
        for (const std::string& text : bench.unfit())
          FAIL_CHECK(language.code << ", " << size.width << " x " << size.height << ", " << phase << ": " << text);
      };
      bench.show(nothing, 0.3);
      look("set hoop");
      bench.ring_set();
      look("ring set");
      bench.cloth_laid(-9.9, 9.9, 8.8);
      look("lay cloth");
      bench.pressed(-9.9, 9.9, 8.8, 0.2);
      look("press");
      bench.pressed(-9.9, 9.9, 8.8, 2.0);
      look("enter");
      bench.press(View::kStartOver);
      look("asked");
      bench.pressed(-5.9, 9.9, 8.8, 2.0);
      look("slipped");
      bench.desk.health.live_camera = bench.desk.health.stale = true;
      look("no picture");
    }
  }
}
