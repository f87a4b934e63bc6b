// A camera that is lost, or not there yet, comes back by itself.
#include <atomic>
#include <thread>

#include "app/source/capture.h"
#include "app/source/reopening_source.h"
#include "app/source/trouble.h"
#include "tests/app/fake_step.h"
#include "tests/catch.h"
#include "tests/faulty_source.h"

using namespace std::chrono_literals;

namespace {

constexpr app::BackOff kFast{1ms, 8ms};

std::unique_ptr<app::FrameSource> lost_after(long frames) {
  return std::make_unique<faulty::Source>(fake::source(),
                                          std::vector<faulty::Fault>{{frames, faulty::Kind::lost, 1 << 30, 0ms, 0.0}});
}

}  // namespace

TEST_CASE("the waits between tries double up to the longest", "[source][camera]") {
  const app::BackOff back_off;
  CHECK(back_off.after(1) == 500ms);
  CHECK(back_off.after(2) == 1000ms);
  CHECK(back_off.after(5) == 8000ms);
  CHECK(back_off.after(1000000) == 8000ms);
}

// Guarantees: every loss is named, and frames come again from a source that was opened anew, without an end.
TEST_CASE("a lost camera is opened again, every time", "[source][camera]") {
  int openings = 0;
  app::ReopeningSource source(
      [&] {
        ++openings;
        return lost_after(3);
      },
      "camera", {1ms, 1ms});
  CHECK(source.title() == "camera");
  CHECK(source.is_live_camera());
  int frames = 0, losses = 0;
  while (openings < 20) {
    if (const auto frame = source.next()) {
      ++frames;
      CHECK(source.trouble().empty());
      CHECK(source.title() == "invented frames");
    } else if (source.trouble() == app::kCameraUnplugged) {
      ++losses;
    }
  }
  CHECK(frames >= 3 * 19);
  CHECK(losses >= 19);
}

TEST_CASE("a camera that was never there is named, and used when it comes", "[source][camera]") {
  int tries = 0;
  app::ReopeningSource source(
      [&]() -> std::unique_ptr<app::FrameSource> {
        if (++tries < 4) throw app::SourceError(app::kNoCamera, "the bus is empty");
        if (tries < 6) throw std::runtime_error("no memory");
        return fake::source();
      },
      "camera", kFast);
  std::vector<std::string> said;
  while (!source.next()) {
    if (said.empty() || said.back() != source.trouble() + "|" + source.detail())
      said.push_back(source.trouble() + "|" + source.detail());
  }
  CHECK(said == std::vector<std::string>{std::string(app::kNoCamera) + "|the bus is empty",
                                         std::string(app::kCameraFails) + "|no memory"});
  CHECK(source.trouble().empty());
  CHECK(tries == 6);
}

// Guarantees: the watchdog hears of a wait that ends in time, and the trouble stands meanwhile.
TEST_CASE("a long wait for the next try is reported while it goes on", "[source][camera]") {
  int tries = 0;
  app::ReopeningSource source(
      [&]() -> std::unique_ptr<app::FrameSource> {
        ++tries;
        throw app::SourceError(app::kNoCamera, "");
      },
      "camera", {1h, 1h});
  CHECK_FALSE(source.next());
  CHECK_FALSE(source.next());
  CHECK(tries == 1);
  CHECK(source.trouble() == app::kNoCamera);
}

TEST_CASE("stopping ends a wait for the next try, and one for a frame", "[source][camera]") {
  const auto never = []() -> std::unique_ptr<app::FrameSource> { throw app::SourceError(app::kNoCamera, ""); };
  const auto hung = [] {
    return std::make_unique<faulty::Source>(fake::source(),
                                            std::vector<faulty::Fault>{{0, faulty::Kind::hung, 1, 1h, 0.0}});
  };
  for (const app::ReopeningSource::Open& open : {app::ReopeningSource::Open(never), app::ReopeningSource::Open(hung)}) {
    app::Capture capture(std::make_unique<app::ReopeningSource>(open, "camera", app::BackOff{1h, 1h}));
    std::this_thread::sleep_for(20ms);
    const auto start = app::Clock::now();
    capture.stop();
    CHECK_FALSE(capture.frames().take());
    CHECK(app::Clock::now() - start < 10s);  // each would wait for an hour
  }
}

TEST_CASE("a wish to settle anew reaches the source that is open", "[source][camera]") {
  faulty::Source* opened = nullptr;
  app::ReopeningSource source(
      [&] {
        auto inner = std::make_unique<faulty::Source>(fake::source(), std::vector<faulty::Fault>{});
        opened = inner.get();
        return inner;
      },
      "camera");
  source.resettle();  // nobody is there to hear it
  REQUIRE(source.next());
  CHECK(opened->resettled() == 0);
  source.resettle();
  CHECK(opened->resettled() == 1);
}
