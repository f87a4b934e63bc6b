// The days that people mean.
//
// Guarantees: a span begins and ends at midnight of the station's own day, also over a change of the clocks. Example
// failure: with winter time "4w" begins at 23:00 and takes in an evening too many.
#include <cstdlib>
#include <ctime>
#include <optional>
#include <string>

#include "app/records/day_time.h"
#include "app/records/utc_time.h"
#include "calib/files.h"
#include "tests/catch.h"

namespace {

// The process's time zone while it lives.
class Zone {
 public:
  explicit Zone(const char* name) {
    if (const char* before = std::getenv("TZ")) before_ = before;
    ::setenv("TZ", name, 1);
    ::tzset();
  }
  ~Zone() {
    before_ ? ::setenv("TZ", before_->c_str(), 1) : ::unsetenv("TZ");
    ::tzset();
  }
  Zone(const Zone&) = delete;
  Zone& operator=(const Zone&) = delete;

 private:
  std::optional<std::string> before_;
};

constexpr const char* kCentralEurope = "CET-1CEST,M3.5.0,M10.5.0/3";  // POSIX; needs no zone files

std::string utc(const char* words, const char* now = "2026-11-29T15:00:00Z") {
  return app::utc_text(app::time_from_words(words, *app::seconds_of_utc(now)));
}

}  // namespace

TEST_CASE("days begin at the station's midnight", "[records][time]") {
  const Zone zone(kCentralEurope);
  CHECK(utc("2026-07-01") == "2026-06-30T22:00:00Z");
  CHECK(utc("2026-12-01") == "2026-11-30T23:00:00Z");
  CHECK(utc("2026-07-01T08:30") == "2026-07-01T06:30:00Z");
  CHECK(utc("0d") == "2026-11-28T23:00:00Z");
  CHECK(utc("4w") == "2026-10-31T23:00:00Z");
  CHECK(utc("6w") == "2026-10-17T22:00:00Z");  // still summer time
  CHECK(utc("3m") == "2026-08-28T22:00:00Z");
  CHECK(utc("1y") == "2025-11-28T23:00:00Z");
  // The day on which the clocks go back has 25 hours.
  const std::int64_t noon = *app::seconds_of_utc("2026-10-25T11:00:00Z");
  CHECK(app::day_ends(noon) - app::day_began(noon) == 25 * 3600);
}

TEST_CASE("what is no time says what to write", "[records][time]") {
  for (const char* wrong : {"", "d", "w", "-3d", "yesterday", "2026-02-31", "2026-1-1", "2026-01-31T25:00",
                            "31.01.2026", "999999999999d", "2026-01-31x"}) {
    CAPTURE(wrong);
    CHECK_THROWS_AS(utc(wrong), calib::FileError);
  }
}
