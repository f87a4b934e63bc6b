// Capture and measuring on their threads, with sources made up for the purpose.
#include <atomic>
#include <thread>

#include "app/measuring.h"
#include "app/source/trouble.h"
#include "tests/app/fake_step.h"
#include "tests/catch.h"
#include "tests/faulty_source.h"

using namespace std::chrono_literals;

namespace {

struct Script {
  int frames = 0;  // then it ends
  std::chrono::milliseconds period{0};
  bool live = false;
  std::string trouble;  // at the end
  int recoveries = 0;   // a live source comes back so many times
};

class ScriptedSource : public app::FrameSource {
 public:
  ScriptedSource(Script script, std::atomic<int>& calls) : script_(std::move(script)), calls_(calls) {}
  std::optional<app::Frame> next() override {
    ++calls_;
    for (auto waited = 0ms; waited < script_.period && !stopped_; waited += 5ms) std::this_thread::sleep_for(5ms);
    if (stopped_) return std::nullopt;
    if (given_ == script_.frames) {
      if (script_.recoveries-- > 0) given_ = 0;
      return std::nullopt;
    }
    ++given_;
    app::Frame frame;
    frame.grey = cv::Mat(4, 4, CV_8UC1, cv::Scalar(0));
    frame.number = number_++;
    return frame;
  }
  void stop() override { stopped_ = true; }
  std::string title() const override { return "script"; }
  std::string trouble() const override { return script_.trouble; }
  bool is_live_camera() const override { return script_.live; }

 private:
  Script script_;
  std::atomic<int>& calls_;
  std::atomic<bool> stopped_{false};
  int given_ = 0;
  long number_ = 0;
};

app::ReadFrame reader(std::chrono::milliseconds takes) {
  return [takes](app::Measured&) { std::this_thread::sleep_for(takes); };
}

// A generous limit: only a failure takes it.
template <class Condition>
bool wait_until(Condition condition) {
  for (int i = 0; i < 4000; ++i) {
    if (condition()) return true;
    std::this_thread::sleep_for(5ms);
  }
  return false;
}

}  // namespace

TEST_CASE("slow measuring skips frames, and the last one is the newest", "[measuring]") {
  std::atomic<int> calls{0};
  app::Measuring measuring(std::make_unique<ScriptedSource>(Script{60, 2ms, false, "", 0}, calls), reader(25ms));
  long last = -1;
  while (auto measured = measuring.results().take_within(300ms)) {
    CHECK(measured->frame.number > last);
    last = measured->frame.number;
  }
  CHECK(last == 59);
  CHECK(measuring.frames_dropped() > 10);
  CHECK(measuring.ended());
  CHECK(measuring.trouble().empty());
}

TEST_CASE("it stops at once while the source waits", "[measuring]") {
  std::atomic<int> calls{0};
  const auto start = app::Clock::now();
  {
    app::Measuring measuring(std::make_unique<ScriptedSource>(Script{10, 5000ms, true, "", 0}, calls), reader(1ms));
    std::this_thread::sleep_for(30ms);
  }
  CHECK(app::Clock::now() - start < 3s);  // the source would wait for five
}

// Guarantees: a live camera is never given up, and what is wrong is said meanwhile. Example failure: the station ends
// while somebody looks for the cable.
TEST_CASE("a camera that stays away is asked for again, with its trouble named, until it comes back",
          "[measuring][camera]") {
  std::atomic<int> calls{0};
  app::Measuring measuring(std::make_unique<ScriptedSource>(Script{1, 1ms, true, "no picture", 6}, calls), reader(0ms));
  for (int i = 0; i < 7; ++i) {
    INFO("frame " << i);
    const auto measured = measuring.results().take_within(5s);
    REQUIRE(measured);
    CHECK(measured->frame.number == i);
  }
  CHECK_FALSE(measuring.ended());
  REQUIRE(wait_until([&] { return measuring.trouble() == "no picture"; }));
  CHECK(calls >= 14);
}

// Guarantees: a camera that says no at once does not make the program run hot.
TEST_CASE("a camera that is away is asked some ten times a second", "[measuring][camera]") {
  std::atomic<int> calls{0};
  app::Measuring measuring(std::make_unique<ScriptedSource>(Script{0, 0ms, true, "no picture", 0}, calls), reader(0ms));
  std::this_thread::sleep_for(250ms);
  CHECK(calls <= 4);
}

// Guarantees: a hang is told from a loss. Example failure: the watchdog kills a station whose camera is unplugged, or
// feeds one whose thread never comes back.
TEST_CASE("the beat stops while the source hangs, and goes on while the camera is lost", "[measuring][camera]") {
  const auto faulty_camera = [](faulty::Fault fault) {
    return std::make_unique<faulty::Source>(fake::source(), std::vector{fault});
  };
  {
    app::Measuring lost(faulty_camera({5, faulty::Kind::lost, 1000, 0ms, 0.0}), reader(0ms));
    REQUIRE(wait_until([&] { return !lost.trouble().empty(); }));
    const auto then = app::Clock::now();
    CHECK(wait_until([&] { return lost.last_beat() > then; }));
    CHECK(lost.trouble() == app::kCameraUnplugged);
  }
  app::Measuring hung(faulty_camera({5, faulty::Kind::hung, 1, 60s, 0.0}), reader(0ms));
  REQUIRE(wait_until([&] { return !hung.trouble().empty(); }));
  CHECK(hung.trouble() == app::kCameraSilent);
  CHECK(app::Clock::now() - hung.last_beat() > 2s);
  CHECK(hung.frames_measured() <= 5);
}  // and it ends at once, though the source hangs for a minute

// Guarantees: one bad frame is named and passed over. Example failure: a truncated frame ends the station.
TEST_CASE("a live camera's frame that cannot be measured does not end the station", "[measuring][camera]") {
  std::mutex gate;
  std::vector<std::string> troubles;
  app::Measuring* running = nullptr;
  std::atomic<bool> ready{false};
  const app::ReadFrame whole_only = [&](app::Measured& measured) {
    wait_until([&] { return ready.load(); });
    {
      const std::scoped_lock lock(gate);
      troubles.push_back(running->trouble());
    }
    if (measured.frame.grey.rows != 180) throw std::invalid_argument("a frame must be 320 x 180");
  };
  app::Measuring measuring(std::make_unique<faulty::Source>(
                               fake::source(), std::vector<faulty::Fault>{{40, faulty::Kind::wrong_size, 500, 0ms, 0}}),
                           whole_only);
  running = &measuring;
  ready = true;
  REQUIRE(wait_until([&] { return measuring.frames_refused() > 2; }));
  REQUIRE(wait_until([&] {
    const auto measured = measuring.results().take_within(1s);
    return measured && measured->frame.number > 540;
  }));
  CHECK_FALSE(measuring.ended());
  CHECK(measuring.trouble().empty());
  const std::scoped_lock lock(gate);
  CHECK(std::count(troubles.begin(), troubles.end(), app::kWrongPictures) >= 2);
}

TEST_CASE("a recorded frame that cannot be measured ends the playing with the reason", "[measuring]") {
  std::atomic<int> calls{0};
  const app::ReadFrame refuses = [](app::Measured&) { throw std::invalid_argument("the frame is 4 x 4 px"); };
  app::Measuring measuring(std::make_unique<ScriptedSource>(Script{1000, 5ms, false, "", 0}, calls), refuses);
  REQUIRE(wait_until([&] { return measuring.ended(); }));
  CHECK(measuring.trouble() == "Measuring stopped: the frame is 4 x 4 px");
}
