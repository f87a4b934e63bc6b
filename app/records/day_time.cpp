#include "app/records/day_time.h"

#include <array>
#include <cstdio>
#include <ctime>
#include <string>

#include "app/in_quotes.h"
#include "calib/files.h"

namespace app {
namespace {

[[noreturn]] void refuse(std::string_view text) {
  throw calib::FileError(in_quotes(std::string(text)) +
                         " is no time: write 2026-01-31, 2026-01-31T14:30, or 30d, 8w, 3m or 1y for so long ago");
}

std::tm local(std::int64_t time_s) {
  const auto time = static_cast<std::time_t>(time_s);
  std::tm out{};
  localtime_r(&time, &out);
  return out;
}

// The calendar settles days and months beyond their ends, and the clock of that day the hour.
std::int64_t seconds_of(std::tm parts) {
  parts.tm_isdst = -1;
  return static_cast<std::int64_t>(std::mktime(&parts));
}

std::int64_t midnight(std::tm day, int days_later = 0) {
  day.tm_hour = day.tm_min = day.tm_sec = 0;
  day.tm_mday += days_later;
  return seconds_of(day);
}

std::int64_t ago(std::string_view text, std::int64_t now_s) {
  constexpr int kMost = 100000;
  int count = 0;
  for (const char c : text.substr(0, text.size() - 1)) {
    if (c < '0' || c > '9' || count > kMost) refuse(text);
    count = 10 * count + (c - '0');
  }
  if (text.size() < 2 || count > kMost) refuse(text);
  std::tm day = local(now_s);
  switch (text.back()) {
    case 'd':
      day.tm_mday -= count;
      break;
    case 'w':
      day.tm_mday -= 7 * count;
      break;
    case 'm':
      day.tm_mon -= count;
      break;
    default:
      day.tm_year -= count;
  }
  return midnight(day);
}

}  // namespace

std::int64_t time_from_words(std::string_view text, std::int64_t now_s) {
  constexpr std::string_view kSpans = "dwmy";
  if (!text.empty() && kSpans.find(text.back()) != std::string_view::npos) return ago(text, now_s);
  int year = 0, month = 0, day = 0, hour = 0, minute = 0, read = 0;
  const std::string words(text);
  const bool with_clock = words.size() == 16;
  const int found =
      with_clock ? std::sscanf(words.c_str(), "%4d-%2d-%2dT%2d:%2d%n", &year, &month, &day, &hour, &minute, &read)
                 : std::sscanf(words.c_str(), "%4d-%2d-%2d%n", &year, &month, &day, &read);
  if (found != (with_clock ? 5 : 3) || static_cast<std::size_t>(read) != words.size() || words.size() < 10)
    refuse(text);
  std::tm parts{};
  parts.tm_year = year - 1900;
  parts.tm_mon = month - 1;
  parts.tm_mday = day;
  parts.tm_hour = hour;
  parts.tm_min = minute;
  const std::int64_t time_s = seconds_of(parts);
  const std::tm again = local(time_s);
  if (again.tm_mday != day || again.tm_mon != month - 1 || again.tm_year != year - 1900 || hour > 23 || minute > 59)
    refuse(text);  // there is no 31st of February
  return time_s;
}

std::int64_t day_began(std::int64_t time_s) { return midnight(local(time_s)); }
std::int64_t day_ends(std::int64_t time_s) { return midnight(local(time_s), 1); }

}  // namespace app
