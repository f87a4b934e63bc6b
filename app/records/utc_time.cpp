#include "app/records/utc_time.h"

#include <chrono>

#include "app/format.h"

namespace app {
namespace {

// Digits only, so many of them.
std::optional<int> number_at(std::string_view text, std::size_t at, std::size_t digits) {
  int out = 0;
  for (std::size_t i = at; i < at + digits; ++i) {
    if (text[i] < '0' || text[i] > '9') return std::nullopt;
    out = 10 * out + (text[i] - '0');
  }
  return out;
}

}  // namespace

std::optional<std::int64_t> seconds_of_utc(std::string_view text) {
  if (text.size() == 20 && text.back() == 'Z') text.remove_suffix(1);
  if (text.size() != 19 || text[4] != '-' || text[7] != '-' || text[10] != 'T' || text[13] != ':' || text[16] != ':')
    return std::nullopt;
  const auto year = number_at(text, 0, 4), month = number_at(text, 5, 2), day = number_at(text, 8, 2),
             hour = number_at(text, 11, 2), minute = number_at(text, 14, 2), second = number_at(text, 17, 2);
  if (!year || !month || !day || !hour || !minute || !second) return std::nullopt;
  const std::chrono::year_month_day date{std::chrono::year(*year), std::chrono::month(static_cast<unsigned>(*month)),
                                         std::chrono::day(static_cast<unsigned>(*day))};
  if (!date.ok() || *hour > 23 || *minute > 59 || *second > 60) return std::nullopt;
  const std::int64_t days = std::chrono::sys_days(date).time_since_epoch().count();
  return ((days * 24 + *hour) * 60 + *minute) * 60 + *second;
}

std::string utc_text(std::int64_t seconds) {
  const std::chrono::sys_seconds time{std::chrono::seconds(seconds)};
  const auto day = std::chrono::floor<std::chrono::days>(time);
  const std::chrono::year_month_day date{day};
  const std::chrono::hh_mm_ss clock{time - day};
  return format("%04d-%02u-%02uT%02ld:%02ld:%02ldZ", static_cast<int>(date.year()), static_cast<unsigned>(date.month()),
                static_cast<unsigned>(date.day()), static_cast<long>(clock.hours().count()),
                static_cast<long>(clock.minutes().count()), static_cast<long>(clock.seconds().count()));
}

}  // namespace app
