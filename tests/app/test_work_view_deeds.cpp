// What a person does at the work view: touch, keys, and the questions it asks.
#include "app/jobs/job_store.h"
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

// Example failure: long names of another language run out of their button, or over the next one.
TEST_CASE("names and jobs stand on their buttons", "[workview]") {
  WorkBench bench(kUsual);
  bench.desk.add_operator({.name = "Operator A", .badge = {}});
  bench.desk.choose_operator("Operator A");
  bench.draw();
  CHECK(bench.button(View::kOperator)->label.find("Operator A") != std::string::npos);
  CHECK(bench.button(View::kJob)->label == "Choose job");
}
