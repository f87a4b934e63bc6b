// Exposure and colours are fixed once they rest, and stamps are taken for what they can be.
#include <cmath>

#include "app/source/exposure_time.h"
#include "app/source/light_watch.h"
#include "app/source/settling.h"
#include "tests/catch.h"

using app::Settling;
using app::TakenWith;

namespace {

// The frame, counted from 0, at which it settles; -1: never.
template <class Values>
int settles_at(Settling& settling, Values values, int frames) {
  for (int i = 0; i < frames; ++i)
    if (settling.see(values(i))) return i;
  return -1;
}

}  // namespace

// Guarantees: what is fixed is what the camera had found, not a value on the way there. Example failure: a station that
// is switched on in the dark keeps the first frame's exposure.
TEST_CASE("exposure settles when it has rested for fifteen frames", "[camera]") {
  Settling settling;
  const auto rising = [](int i) {
    return TakenWith{.exposure_us = i < 20 ? 1000.0 + 400.0 * i : 9000.0, .gain = 1.0, .red_gain = {}, .blue_gain = {}};
  };
  // Rests from frame 20 on: the fifteenth of those is frame 34.
  CHECK(settles_at(settling, rising, 100) == 34);
  CHECK(settling.settled());
  CHECK_FALSE(settling.see(rising(40)));
}

TEST_CASE("exposure that is traded for gain is at rest, since the picture is", "[camera]") {
  Settling settling;
  const auto traded = [](int i) {
    const double exposure = i % 2 == 0 ? 10000.0 : 20000.0;
    return TakenWith{.exposure_us = exposure, .gain = 40000.0 / exposure, .red_gain = {}, .blue_gain = {}};
  };
  CHECK(settles_at(settling, traded, 100) == 14);
}

TEST_CASE("colours that still move keep it from settling", "[camera]") {
  Settling settling;
  const auto warming = [](int i) {
    return TakenWith{.exposure_us = 5000.0, .gain = 2.0, .red_gain = 1.5, .blue_gain = i < 30 ? 1.0 + 0.05 * i : 2.5};
  };
  CHECK(settles_at(settling, warming, 100) == 44);
}

// A slow drift is no rest, though each frame is like the one before.
TEST_CASE("a creeping exposure does not settle before its time is over", "[camera]") {
  Settling settling;
  const auto creeping = [](int i) {
    return TakenWith{.exposure_us = 1000.0 * std::pow(1.004, i), .gain = {}, .red_gain = {}, .blue_gain = {}};
  };
  CHECK(settles_at(settling, creeping, 1000) == 299);
}

TEST_CASE("frames that tell nothing settle nothing", "[camera]") {
  Settling settling;
  CHECK(settles_at(
            settling, [](int) { return TakenWith{}; }, 1000) == -1);
}

TEST_CASE("it settles anew after a wish, on the values of then", "[camera]") {
  Settling settling;
  const auto dim = [](int) { return TakenWith{.exposure_us = 20000.0, .gain = 4.0, .red_gain = {}, .blue_gain = {}}; };
  const auto bright = [](int) {
    return TakenWith{.exposure_us = 2000.0, .gain = 1.0, .red_gain = {}, .blue_gain = {}};
  };
  CHECK(settles_at(settling, dim, 100) == 14);
  settling.anew();
  for (int i = 0; i < 14; ++i) CHECK_FALSE(settling.see(bright(i)));
  CHECK(settling.see(bright(14)) == bright(14));
}

// Guarantees: a lamp that was changed does not blind the station for good, and a hand does not unsettle it.
TEST_CASE("light that is wrong for long asks for a new exposure, a passing shadow does not", "[camera]") {
  using vision::Status;
  app::LightWatch watch;
  CHECK_FALSE(watch.see(Status::too_dark, 100.0));
  CHECK_FALSE(watch.see(Status::too_dark, 104.9));
  CHECK_FALSE(watch.see(Status::ok, 105.0));
  CHECK_FALSE(watch.see(Status::too_bright, 105.1));
  CHECK_FALSE(watch.see(Status::too_bright, 110.0));
  CHECK(watch.see(Status::too_bright, 110.2));
  CHECK_FALSE(watch.see(Status::too_bright, 110.3));
  CHECK_FALSE(watch.see(Status::too_bright, 140.1));
  CHECK(watch.see(Status::too_bright, 140.3));
  // Once it is right again, the next time is judged by itself, but for the pause.
  CHECK_FALSE(watch.see(Status::no_ring, 141.0));
  CHECK_FALSE(watch.see(Status::too_dark, 172.0));
  CHECK(watch.see(Status::too_dark, 177.1));
}

// Hand-computed: the machine slept for 100 s since it was started, so that the clocks are 100 s apart.
TEST_CASE("a stamp of either clock becomes the program's own time", "[camera]") {
  constexpr std::int64_t kSecond = 1'000'000'000;
  const app::SystemClocks now{500 * kSecond, 600 * kSecond};
  const auto at = [](std::int64_t ns) { return std::chrono::steady_clock::time_point(std::chrono::nanoseconds(ns)); };
  const std::int64_t age = 30'000'000;
  CHECK(app::exposed_at(600 * kSecond - age, now) == at(500 * kSecond - age));
  CHECK(app::exposed_at(500 * kSecond - age, now) == at(500 * kSecond - age));
  CHECK_FALSE(app::exposed_at(0, now));  // none
  CHECK_FALSE(app::exposed_at(-5, now));
  CHECK_FALSE(app::exposed_at(600 * kSecond + age, now));      // from the future
  CHECK_FALSE(app::exposed_at(500 * kSecond + age, now));      // between the clocks
  CHECK_FALSE(app::exposed_at(498 * kSecond, now));            // too old
  CHECK_FALSE(app::exposed_at(1'700'000'000 * kSecond, now));  // the wall clock
}

TEST_CASE("the system's clocks are the program's own", "[camera]") {
  const auto before = std::chrono::steady_clock::now().time_since_epoch();
  const app::SystemClocks now = app::system_clocks();
  const auto after = std::chrono::steady_clock::now().time_since_epoch();
  CHECK(std::chrono::nanoseconds(now.monotonic_ns) >= before);
  CHECK(std::chrono::nanoseconds(now.monotonic_ns) <= after);
  CHECK(now.boot_ns >= now.monotonic_ns);
}
