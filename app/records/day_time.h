// The days that people mean, in the station's own time zone, as seconds since 1970, UTC.
#pragma once

#include <cstdint>
#include <string_view>

namespace app {

// "2026-01-31" is that day's midnight; "2026-01-31T14:30" that minute; "30d", "8w", "3m", "1y" are so many days, weeks,
// months or years before the midnight that began the day of `now_s`. Throws calib::FileError that says what to write.
std::int64_t time_from_words(std::string_view text, std::int64_t now_s);
// The midnight that began this day, and the one that began the day after it.
std::int64_t day_began(std::int64_t time_s);
std::int64_t day_ends(std::int64_t time_s);

}  // namespace app
