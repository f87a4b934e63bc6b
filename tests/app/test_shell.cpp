// The main loop, driven by a scripted source and made-up input on a window in memory.
#include <atomic>
#include <functional>
#include <map>
#include <memory>
#include <thread>

#include "app/shell/shell.h"
#include "tests/app/fake_result.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

namespace {

using app::InputEvent;

// At a frame's number something happens: input, or the frame's time.
struct Script {
  std::map<long, std::function<void()>> at;
  std::function<double(long)> time_s = [](long number) { return 0.1 * static_cast<double>(number); };
  std::function<void(long, cv::Mat&)> paint = [](long, cv::Mat&) {};
  long frames = 40;
  // The frames seen so far; with it, each frame waits for the one before to be seen.
  std::shared_ptr<std::atomic<long>> seen;
};

class ScriptedSource : public app::FrameSource {
 public:
  explicit ScriptedSource(Script script) : script_(std::move(script)) {}
  std::optional<app::Frame> next() override {
    if (number_ >= script_.frames) return std::nullopt;
    do std::this_thread::sleep_for(std::chrono::milliseconds(5));
    while (!stopped_ && script_.seen && *script_.seen < number_);
    if (const auto found = script_.at.find(number_); found != script_.at.end()) found->second();
    app::Frame frame;
    frame.grey = cv::Mat(180, 320, CV_8UC1, cv::Scalar(90));
    script_.paint(number_, frame.grey);
    frame.time_s = script_.time_s(number_);
    frame.number = number_++;
    return frame;
  }
  void stop() override { stopped_ = true; }
  std::string title() const override { return "script"; }
  bool is_live_camera() const override { return false; }

 private:
  Script script_;
  long number_ = 0;
  std::atomic<bool> stopped_{false};
};

struct Station {
  Station() : window(app::Window::in_memory({1024, 600})) {}
  app::ShellEnd run(
      Script script, const std::function<void(app::Measured&)>& read = [](app::Measured&) {}) {
    app::Measuring measuring(std::make_unique<ScriptedSource>(std::move(script)), read);
    shell = std::make_unique<app::Shell>(*window, desk, measuring);
    const app::StopSignal stop;
    app::LiveOptions options;
    options.seconds = 30.0;
    return shell->run(options, stop);
  }
  // Turn by turn, so that no frame is left out.
  void play(Script script) {
    script.seen = std::make_shared<std::atomic<long>>(0);
    const auto seen = script.seen;
    app::Measuring measuring(std::make_unique<ScriptedSource>(std::move(script)), [](app::Measured&) {});
    shell = std::make_unique<app::Shell>(*window, desk, measuring);
    while (desk.leaving() == app::Leave::no && !shell->over())
      if (shell->turn()) ++*seen;
  }
  void press(SDL_Keycode key) { put(app::key_event(key)); }
  void put(const InputEvent& event) {
    app::WindowEvents events;
    events.input = {event};
    window->put(events);
  }

  TemporaryFolder folder;
  std::unique_ptr<app::Window> window;
  app::Desk desk{{fake::station(), fake::hoop(), {fake::hoop()}, folder.path / "station.toml", nullptr}};
  std::unique_ptr<app::Shell> shell;
};

}  // namespace

TEST_CASE("Escape goes back, and ends from the work view", "[shell]") {
  Station station;
  station.desk.open(app::ViewId::menu);
  station.desk.open(app::ViewId::service);
  std::vector<app::ViewId> seen;
  Script script;
  script.frames = 400;
  for (const long at : {20L, 60L, 100L}) script.at[at] = [&] { station.press(SDLK_ESCAPE); };
  const app::ShellEnd end = station.run(script);
  CHECK(end.leave == app::Leave::end);
  CHECK(end.code == 0);
  CHECK(station.desk.view() == app::ViewId::work);
}

TEST_CASE("a source that is no camera ends the loop", "[shell]") {
  Station station;
  Script script;
  script.frames = 3;
  CHECK(station.run(script).leave == app::Leave::end);
  CHECK(station.desk.health.frames >= 1);
  CHECK(station.desk.health.source == "script");
}

// Guarantees: the screen rests after ten minutes of the frames' time without change, and wakes with the first change.
TEST_CASE("the screen rests when nothing happens on the board, and wakes when something does", "[shell][idle]") {
  Station station;
  bool rested = false, woke = false;
  Script script;
  script.frames = 120;
  script.time_s = [](long number) { return 10.0 * static_cast<double>(number); };
  script.paint = [](long number, cv::Mat& grey) {
    if (number >= 100) grey(cv::Rect(80, 40, 120, 90)).setTo(220);
  };
  script.at[99] = [&] { rested = station.shell->resting(); };
  script.at[118] = [&] { woke = !station.shell->resting(); };
  station.play(script);
  CHECK(rested);
  CHECK(woke);
}

// Guarantees: a key that wakes the screen does nothing else. Example failure: Escape ends the resting station.
TEST_CASE("what wakes the resting screen does nothing else", "[shell][idle]") {
  Station station;
  Script script;
  script.frames = 120;
  script.time_s = [](long number) { return 10.0 * static_cast<double>(number); };
  bool rested = false;
  script.at[90] = [&] {
    rested = station.shell->resting();
    station.press(SDLK_ESCAPE);
  };
  bool alive = false;
  script.at[115] = [&] { alive = true; };
  station.play(script);
  CHECK(rested);
  CHECK(alive);
}

TEST_CASE("frames that stop are lost to the work, with a source that goes on silent", "[shell]") {
  Station station;
  Script script;
  script.frames = 6;
  station.run(script, [&](app::Measured& measured) {
    measured.result = fake::no_reading(fake::station(), fake::straight_down(), vision::Status::no_ring);
  });
  CHECK(station.desk.work().seen().has_value());  // an end is no loss
}

TEST_CASE("the pedal is one key: short takes, long takes anew", "[shell][pedal]") {
  app::Pedal pedal;
  const auto up = [] {
    InputEvent event = app::key_event(SDLK_F9);
    event.kind = InputEvent::Kind::key_up;
    return event;
  };
  CHECK_FALSE(pedal.handle(app::key_event(SDLK_F9), 0, 0.0));       // none learned
  CHECK_FALSE(pedal.handle(app::key_event(SDLK_a), SDLK_F9, 0.0));  // not the pedal
  CHECK(pedal.handle(app::key_event(SDLK_F9), SDLK_F9, 1.0));
  CHECK_FALSE(pedal.take(1.2).has_value());
  CHECK(pedal.handle(up(), SDLK_F9, 1.3));
  CHECK(pedal.take(1.3) == app::Pedal::Press::brief);
  CHECK_FALSE(pedal.take(1.4).has_value());
  // Held: told once, while it is still down; its release says nothing more.
  CHECK(pedal.handle(app::key_event(SDLK_F9), SDLK_F9, 2.0));
  InputEvent again = app::key_event(SDLK_F9);
  again.repeated = true;
  CHECK(pedal.handle(again, SDLK_F9, 2.5));
  CHECK_FALSE(pedal.take(2.5).has_value());
  CHECK(pedal.take(2.9) == app::Pedal::Press::held);
  CHECK(pedal.handle(again, SDLK_F9, 3.0));
  CHECK_FALSE(pedal.take(4.0).has_value());
  CHECK(pedal.handle(up(), SDLK_F9, 4.1));
  CHECK_FALSE(pedal.take(4.2).has_value());
}
