// The source with faults that other tests and the soak count on does what it says.
#include "tests/app/fake_step.h"
#include "tests/catch.h"
#include "tests/faulty_source.h"

using namespace std::chrono_literals;
using faulty::Kind;

TEST_CASE("each fault comes at its frame and lasts as long as it says", "[source]") {
  std::vector<Kind> begun;
  faulty::Source source(fake::source(),
                        {{2, Kind::lost, 3, 0ms, 0.0},
                         {4, Kind::wrong_size, 1, 0ms, 0.0},
                         {5, Kind::half_black, 2, 0ms, 0.0},
                         {8, Kind::clock_back, 1, 0ms, 100.0},
                         {9, Kind::clock_forward, 1, 0ms, 100.0}},
                        [&](const faulty::Fault& fault) { begun.push_back(fault.kind); });
  std::vector<app::Frame> frames;
  int nothing = 0;
  while (frames.size() < 11) {
    if (auto frame = source.next()) {
      CHECK(source.trouble().empty());
      frames.push_back(std::move(*frame));
    } else {
      CHECK(frames.size() == 2);
      CHECK(source.trouble() == app::kCameraUnplugged);
      ++nothing;
    }
  }
  CHECK(nothing == 3);
  CHECK(begun == std::vector{Kind::lost, Kind::wrong_size, Kind::half_black, Kind::clock_back, Kind::clock_forward});
  for (int i = 0; i < 11; ++i) {
    INFO("frame " << i);
    const app::Frame& frame = frames[static_cast<std::size_t>(i)];
    CHECK(frame.number == i);
    CHECK(frame.grey.rows == (i == 4 ? 90 : 180));
    CHECK(frame.grey.at<unsigned char>(0, 0) == 60 + i);
    CHECK(frame.grey.at<unsigned char>(frame.grey.rows - 1, 0) == (i == 5 || i == 6 ? 0 : 60 + i));
    CHECK_THAT(frame.time_s, WithinAbs(0.1 * i - (i == 8 ? 100.0 : 0.0), 1e-9));
  }
}

TEST_CASE("random faults are the same for the same seed and hold every kind", "[source]") {
  const auto faults = faulty::random_faults(7, 20000, 100, 5s);
  const auto again = faulty::random_faults(7, 20000, 100, 5s);
  REQUIRE(faults.size() == again.size());
  CHECK(faults.size() > 100);
  CHECK(faults.size() < 250);
  std::vector<int> kinds(faulty::kKinds, 0);
  for (std::size_t i = 0; i < faults.size(); ++i) {
    CHECK(faults[i].frame == again[i].frame);
    CHECK(faults[i].kind == again[i].kind);
    CHECK(faults[i].hung <= 5s);
    ++kinds.at(static_cast<std::size_t>(faults[i].kind));
  }
  for (const int count : kinds) CHECK(count > 10);
}
