// Capture and measuring on their threads, with sources made up for the purpose.
#include <atomic>
#include <thread>

#include "app/measuring.h"
#include "tests/catch.h"

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

bool wait_until_ended(const app::Measuring& measuring, std::chrono::milliseconds limit) {
  for (auto waited = 0ms; waited < limit; waited += 5ms) {
    if (measuring.ended()) return true;
    std::this_thread::sleep_for(5ms);
  }
  return measuring.ended();
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

TEST_CASE("it stops within a quarter of a second while the source waits", "[measuring]") {
  std::atomic<int> calls{0};
  const auto start = app::Clock::now();
  {
    app::Measuring measuring(std::make_unique<ScriptedSource>(Script{10, 5000ms, true, "", 0}, calls), reader(1ms));
    std::this_thread::sleep_for(30ms);
  }
  CHECK(app::Clock::now() - start < 280ms);
}

// A hung camera is a message and a few tries, never an endless restart.
TEST_CASE("a camera that stays away is tried four times and then given up with its reason", "[measuring]") {
  std::atomic<int> calls{0};
  app::Measuring measuring(std::make_unique<ScriptedSource>(Script{0, 1ms, true, "no picture", 0}, calls), reader(1ms));
  REQUIRE(wait_until_ended(measuring, 2000ms));
  CHECK(calls == 4);
  CHECK(measuring.trouble() == "no picture");
}

TEST_CASE("a camera that comes back is used again", "[measuring]") {
  std::atomic<int> calls{0};
  app::Measuring measuring(std::make_unique<ScriptedSource>(Script{5, 10ms, true, "no picture", 6}, calls),
                           reader(1ms));
  REQUIRE(wait_until_ended(measuring, 5000ms));
  CHECK(calls == 7 * 5 + 6 + 4);
}

TEST_CASE("a frame that cannot be measured ends the station with the reason", "[measuring]") {
  std::atomic<int> calls{0};
  const app::ReadFrame refuses = [](app::Measured&) { throw std::invalid_argument("the frame is 4 x 4 px"); };
  app::Measuring measuring(std::make_unique<ScriptedSource>(Script{1000, 5ms, false, "", 0}, calls), refuses);
  REQUIRE(wait_until_ended(measuring, 2000ms));
  CHECK(measuring.trouble() == "Measuring stopped: the frame is 4 x 4 px");
}
