// A set-up step run live, with steps and sources made up for the purpose: on its thread, on a screen in memory, and
// without a display. Waits are for conditions; their limits only end a test that has failed.
#include <csignal>
#include <functional>
#include <opencv2/imgcodecs.hpp>
#include <sstream>
#include <thread>

#include "app/screen/window.h"
#include "app/setup/step_loop.h"
#include "app/setup/step_run.h"
#include "app/source/open_source.h"
#include "tests/app/fake_step.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

using namespace std::chrono_literals;

namespace {

bool wait_for(const std::function<bool()>& condition) {
  const auto start = app::Clock::now();
  while (!condition()) {
    if (app::Clock::now() - start > 60s) return false;
    std::this_thread::sleep_for(1ms);
  }
  return true;
}

using Phase = app::StepRun::Phase;

app::StepSource opened(fake::SourceScript script = {}) { return {fake::source(std::move(script)), "invented"}; }

// run_step_on_display in a thread of its own, with keys put into its window.
class OnDisplay {
 public:
  OnDisplay(app::SetupStep& step, fake::SourceScript source, app::LiveOptions options = {})
      : window_(app::Window::in_memory({640, 400})), options_(std::move(options)) {
    thread_ = std::thread([this, &step, source] {
      code_ = app::run_step_on_display(*window_, step, opened(source), options_, stop_);
      ended_ = true;
    });
  }
  ~OnDisplay() {
    if (thread_.joinable()) std::raise(SIGTERM), thread_.join();
  }
  void press(SDL_Keycode key) {
    app::WindowEvents events;
    events.input = {app::key_event(key)};
    window_->put(events);
  }
  // Presses the key over and over, until the condition holds: where a button is not there yet, nothing happens.
  bool press_until(SDL_Keycode key, const std::function<bool()>& condition) {
    return wait_for([&] {
      if (condition()) return true;
      press(key);
      std::this_thread::sleep_for(5ms);
      return condition();
    });
  }
  bool ended() const { return ended_; }
  int code() {
    REQUIRE(wait_for([this] { return ended(); }));
    thread_.join();
    return code_;
  }

 private:
  app::StopSignal stop_;
  std::unique_ptr<app::Window> window_;
  app::LiveOptions options_;
  std::atomic<bool> ended_{false};
  int code_ = -1;
  std::thread thread_;
};

}  // namespace

TEST_CASE("a step that is complete computes once, on the thread that fed it", "[run_live]") {
  fake::Step step({});
  app::StepRun run(step, fake::source());
  REQUIRE(wait_for([&] { return run.phase() == Phase::finished; }));
  CHECK(run.outcome().good);
  CHECK(run.outcome().headline == "It is known");
  CHECK(run.taken() == 3);
  CHECK(step.finished() == 1);
  CHECK(step.one_thread());
  CHECK(run.trouble().empty());
}

TEST_CASE("undo takes the last picture back and says what came of it", "[run_live]") {
  fake::Step step({100000, 100000, true, "", -1});
  app::StepRun run(step, fake::source());
  REQUIRE(wait_for([&] { return step.kept() >= 2; }));
  step.keeping = false;
  run.undo();
  std::optional<bool> undone;
  REQUIRE(wait_for([&] { return (undone = run.undone()).has_value(); }));
  CHECK(undone == true);
  CHECK_FALSE(run.undone());  // told once
  while (step.kept() > 0) {
    run.undo();
    REQUIRE(wait_for([&] { return (undone = run.undone()).has_value(); }));
  }
  run.undo();
  REQUIRE(wait_for([&] { return (undone = run.undone()).has_value(); }));
  CHECK(undone == false);  // there was none
  CHECK(step.one_thread());
}

TEST_CASE("compute now computes with what there is", "[run_live]") {
  fake::Step step({100000, 2, true, "", -1});
  app::StepRun run(step, fake::source());
  REQUIRE(wait_for([&] { return step.kept() >= 2; }));
  run.compute();
  REQUIRE(wait_for([&] { return run.phase() == Phase::finished; }));
  CHECK(run.outcome().good);
  CHECK(step.finished() == 1);
}

// Guarantees: a refused computation is told with its reason and can be mended with more pictures. Example failure: the
// step, still "complete", computes over and over.
TEST_CASE("after a refusal more pictures are taken before it computes again", "[run_live]") {
  fake::Step step({3, 2, true, "the pictures are too much alike: tilt the sheet", -1});
  app::StepRun run(step, fake::source());
  REQUIRE(wait_for([&] { return run.phase() == Phase::finished; }));
  CHECK_FALSE(run.outcome().good);
  REQUIRE(run.outcome().lines.size() == 1);
  CHECK(run.outcome().lines[0] == "the pictures are too much alike: tilt the sheet");
  run.take_more();
  REQUIRE(wait_for([&] { return run.phase() == Phase::taking; }));
  REQUIRE(run.shown().take_within(60s).has_value());
  REQUIRE(run.shown().take_within(60s).has_value());
  CHECK(step.finished() == 1);  // complete, but nothing new
  run.undo();                   // makes room for another picture
  REQUIRE(wait_for([&] { return run.phase() == Phase::finished && step.finished() == 2; }));
  CHECK(run.outcome().good);
}

TEST_CASE("a source's trouble and a step's fault are told", "[run_live]") {
  fake::Step step({100000, 100000, true, "", -1});
  app::StepRun run(step, fake::source({5, "The camera was unplugged: check its cable.", false}));
  REQUIRE(wait_for([&] { return run.ended(); }));
  CHECK(wait_for([&] { return run.trouble() == "The camera was unplugged: check its cable."; }));
  fake::Step broken({3, 2, true, "", 1});
  app::StepRun breaks(broken, fake::source());
  REQUIRE(wait_for([&] { return !breaks.trouble().empty(); }));
  CHECK(breaks.trouble() == "This step stopped: an invented fault");
  CHECK(breaks.phase() == Phase::taking);
}

TEST_CASE("on a display the step runs to its outcome, which stays until the person is done", "[run_live]") {
  fake::Step step({});
  OnDisplay run(step, {});
  REQUIRE(wait_for([&] { return step.finished() == 1; }));
  CHECK_FALSE(run.ended());
  REQUIRE(run.press_until(SDLK_RETURN, [&] { return run.ended(); }));
  CHECK(run.code() == 0);
}

TEST_CASE("keys take back, compute and leave", "[run_live]") {
  fake::Step step({100000, 1, true, "", -1});
  OnDisplay run(step, {});
  REQUIRE(wait_for([&] { return step.kept() >= 1; }));
  REQUIRE(run.press_until(SDLK_u, [&] { return step.undone() >= 1; }));
  REQUIRE(run.press_until(SDLK_c, [&] { return step.finished() >= 1; }));
  REQUIRE(run.press_until(SDLK_ESCAPE, [&] { return run.ended(); }));
  CHECK(run.code() == 0);
  CHECK(step.one_thread());

  fake::Step other({100000, 100000, true, "", -1});
  OnDisplay left(other, {});
  REQUIRE(left.press_until(SDLK_ESCAPE, [&] { return left.ended(); }));
  CHECK(left.code() == 1);  // not finished
  CHECK(other.finished() == 0);
}

TEST_CASE("after a bad outcome more pictures can be taken", "[run_live]") {
  fake::Step step({3, 2, true, "too much alike", -1});
  OnDisplay run(step, {});
  REQUIRE(wait_for([&] { return step.finished() == 1; }));
  REQUIRE(run.press_until(SDLK_RETURN, [&] {
    run.press(SDLK_u);  // makes room for another picture
    return step.finished() == 2 || run.ended();
  }));
  REQUIRE(run.press_until(SDLK_RETURN, [&] { return run.ended(); }));
  CHECK(run.code() == 0);
}

TEST_CASE("SIGTERM ends a step in order", "[run_live]") {
  fake::Step step({100000, 1, true, "", -1});
  OnDisplay run(step, {});
  REQUIRE(wait_for([&] { return step.kept() >= 1; }));
  std::raise(SIGTERM);
  CHECK(run.code() == 1);
}

// Example failure: the process is gone with the station file half computed.
TEST_CASE("a step that ends while it computes waits for the result", "[run_live]") {
  fake::Step step({});
  step.hold_finish.lock();
  OnDisplay run(step, {});
  REQUIRE(wait_for([&] { return step.finishing(); }));
  std::raise(SIGINT);
  CHECK_FALSE(run.ended());
  step.hold_finish.unlock();
  run.code();
  CHECK(step.finished() == 1);
}

TEST_CASE("the screen's picture is written at the end", "[run_live]") {
  const TemporaryFolder folder;
  app::LiveOptions options;
  options.picture = folder.path / "screen.png";
  fake::Step step({});
  OnDisplay run(step, {}, options);
  REQUIRE(wait_for([&] { return step.finished() == 1; }));
  REQUIRE(run.press_until(SDLK_RETURN, [&] { return run.ended(); }));
  CHECK(run.code() == 0);
  CHECK(cv::imread(options.picture->string()).size() == cv::Size(640, 400));
}

TEST_CASE("without a display each new headline is a line, then the outcome's", "[run_live]") {
  const app::StopSignal stop;
  const TemporaryFolder folder;
  app::LiveOptions options;
  options.picture = folder.path / "screen.png";
  options.size = {640, 400};
  std::ostringstream out, err;
  fake::Step step({});
  CHECK(app::run_step_without_display(step, opened(), options, stop, out, err) == 0);
  CHECK(out.str() ==
        "Picture 1\nPicture 2\nPicture 3\nIt is known\n  3 pictures were used\nThe screen's picture is in " +
            options.picture->string() + ".\n");
  CHECK(err.str().empty());
  CHECK(cv::imread(options.picture->string()).size() == cv::Size(640, 400));
  CHECK(folder.entries() == 1);
}

TEST_CASE("without a display what was not finished, or is not good, ends with 1", "[run_live]") {
  const app::StopSignal stop;
  std::ostringstream out, err;
  fake::Step short_of({100, 100, true, "", -1});
  CHECK(app::run_step_without_display(short_of, opened({2, "", false}), {}, stop, out, err) == 1);
  CHECK(err.str() == "hoopgauge: not finished: Hold it still.\n");
  err.str({});
  fake::Step troubled({100, 100, true, "", -1});
  CHECK(app::run_step_without_display(troubled, opened({2, "No picture came.", false}), {}, stop, out, err) == 1);
  CHECK(err.str() == "hoopgauge: No picture came.\n");
  fake::Step bad({3, 3, false, "", -1});
  out.str({});
  CHECK(app::run_step_without_display(bad, opened(), {}, stop, out, err) == 1);
  CHECK(out.str().find("It is not good\n") != std::string::npos);
  CHECK(short_of.finished() == 0);
  app::LiveOptions at_once;
  at_once.seconds = 0.0;
  fake::Step never({});
  CHECK(app::run_step_without_display(never, opened(), at_once, stop, out, err) == 1);
  CHECK(never.finished() == 0);
}

TEST_CASE("a signal ends a step without a display", "[run_live]") {
  const app::StopSignal stop;
  fake::Step step({100000, 100000, true, "", -1});
  std::ostringstream out, err;
  std::thread signal([&] {
    wait_for([&] { return step.kept() > 0; });
    std::raise(SIGTERM);
  });
  CHECK(app::run_step_without_display(step, opened(), {}, stop, out, err) == 1);
  signal.join();
}

TEST_CASE("a wish to end stands through nested stop signals", "[run_live]") {
  {
    const app::StopSignal outer;
    {
      const app::StopSignal inner;
      std::raise(SIGTERM);
      CHECK(inner.received());
    }
    CHECK(outer.received());
  }
  const app::StopSignal later;
  CHECK_FALSE(later.received());
}

TEST_CASE("options choose what a step runs on", "[run_live][errors]") {
  const app::RenderedStep rendered = [] { return fake::source(); };
  app::LiveOptions options;
  options.rendered = true;
  const app::StepSource shown = app::open_step_source(options, {}, rendered);
  CHECK(shown.source->title() == "invented frames");
  CHECK(shown.notice.find("rendered station") != std::string::npos);
  CHECK_THROWS_AS(app::open_step_source(options, {}, nullptr), app::OptionError);
  options.frames_dir = "/none";
  CHECK_THROWS_AS(app::open_step_source(options, {}, rendered), app::OptionError);
  options.rendered = false;
  CHECK_THROWS_AS(app::open_step_source(options, {}, rendered), std::runtime_error);

  const TemporaryFolder folder;
  cv::imwrite((folder.path / "a.png").string(), cv::Mat(90, 160, CV_8UC1, cv::Scalar(7)));
  options.frames_dir = folder.path;
  const app::StepSource played = app::open_step_source(options, {}, rendered);
  const auto frame = played.source->next();
  REQUIRE(frame.has_value());
  CHECK(frame->grey.size() == cv::Size(160, 90));  // its own size: the lens is not known yet
}
