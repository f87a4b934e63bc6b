// Words that several views share.
#include <cstdlib>

#include "app/views/view_words.h"
#include "tests/catch.h"

namespace {

// The time zone is the process's; given back at the end.
struct TimeZone {
  explicit TimeZone(const char* name) {
    if (const char* before = std::getenv("TZ")) before_ = before;
    ::setenv("TZ", name, 1);
    ::tzset();
  }
  ~TimeZone() {
    before_.empty() ? ::unsetenv("TZ") : ::setenv("TZ", before_.c_str(), 1);
    ::tzset();
  }
  std::string before_;
};

}  // namespace

TEST_CASE("sticker numbers are said as ranges", "[views]") {
  CHECK(app::number_ranges({}) == "");
  CHECK(app::number_ranges({7}) == "7");
  CHECK(app::number_ranges({5, 0, 1, 2, 7, 7}) == "0-2, 5, 7");
  CHECK(app::number_ranges({3, 4}) == "3, 4");
}

// By hand: east is the field's right, north its top, positive turns are counter-clockwise.
TEST_CASE("a placement is said by the way it lies", "[views][sign]") {
  vision::Reading r;
  r.offset_x_mm = 2.3, r.offset_y_mm = -0.4, r.rotation_deg = -1.2;
  CHECK(app::placement_words(r, app::Units::mm) == "2.3 mm right, 0.4 mm down, 1.2° clockwise");
  r.offset_x_mm = -25.4, r.offset_y_mm = 2.54, r.rotation_deg = 0.7;
  CHECK(app::placement_words(r, app::Units::inch) == "1.00 in left, 0.10 in up, 0.7° counter-clockwise");
}

TEST_CASE("a record's time is shown in the station's own", "[views]") {
  const TimeZone zone("XST-2");        // two hours east of Greenwich
  const std::time_t now = 1769860800;  // 2026-01-31T12:00:00Z
  CHECK(app::local_time("2026-01-31T09:15:30Z", now) == "11:15:30");
  CHECK(app::local_time("2026-01-30T21:59:59Z", now) == "2026-01-30 23:59");
  CHECK(app::local_time("2026-01-30T22:00:00Z", now) == "00:00:00");
  CHECK(app::local_time("some day", now) == "some day");
  CHECK(app::today_began_utc(now) == "2026-01-30T22:00:00Z");
}
