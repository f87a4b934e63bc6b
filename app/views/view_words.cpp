#include "app/views/view_words.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "app/format.h"
#include "app/units.h"
#include "app/words/words.h"

namespace app {
namespace {

// By left, down, clockwise.
constexpr const char* kPlacements[2][2][2] = {
    {{noop("%s right, %s up, %s° counter-clockwise"), noop("%s right, %s up, %s° clockwise")},
     {noop("%s right, %s down, %s° counter-clockwise"), noop("%s right, %s down, %s° clockwise")}},
    {{noop("%s left, %s up, %s° counter-clockwise"), noop("%s left, %s up, %s° clockwise")},
     {noop("%s left, %s down, %s° counter-clockwise"), noop("%s left, %s down, %s° clockwise")}}};

constexpr const char* kRecordTime = "%Y-%m-%dT%H:%M:%SZ";

std::string written(const char* pattern, const std::tm& time) {
  char text[40];
  return std::strftime(text, sizeof text, pattern, &time) > 0 ? text : "";
}

}  // namespace

const char* held_reading_lost() { return tr("The held reading is lost then: the piece in hand is not recorded."); }

std::string number_ranges(std::vector<int> numbers) {
  std::sort(numbers.begin(), numbers.end());
  numbers.erase(std::unique(numbers.begin(), numbers.end()), numbers.end());
  std::string out;
  for (std::size_t i = 0; i < numbers.size();) {
    std::size_t end = i;
    while (end + 1 < numbers.size() && numbers[end + 1] == numbers[end] + 1) ++end;
    if (!out.empty()) out += ", ";
    out += std::to_string(numbers[i]);
    if (end > i) out += (end > i + 1 ? "-" : ", ") + std::to_string(numbers[end]);
    i = end + 1;
  }
  return out;
}

std::string placement_words(const vision::Reading& r, Units units) {
  const char* pattern = kPlacements[r.offset_x_mm < 0.0][r.offset_y_mm < 0.0][r.rotation_deg < 0.0];
  const auto length = [&](double mm) { return length_text(std::abs(mm), LengthKind::guide, units); };
  return format(tr(pattern), length(r.offset_x_mm).c_str(), length(r.offset_y_mm).c_str(),
                number(std::abs(r.rotation_deg), 1).c_str());
}

std::string local_time(const std::string& time_utc, std::time_t now) {
  std::tm utc{};
  const char* end = ::strptime(time_utc.c_str(), kRecordTime, &utc);
  if (end == nullptr || *end != '\0') return time_utc;
  const std::time_t time = ::timegm(&utc);
  std::tm here{}, today{};
  ::localtime_r(&time, &here);
  ::localtime_r(&now, &today);
  const bool same_day = here.tm_year == today.tm_year && here.tm_yday == today.tm_yday;
  return written(same_day ? "%H:%M:%S" : "%Y-%m-%d %H:%M", here);
}

std::string today_began_utc(std::time_t now) {
  std::tm here{};
  ::localtime_r(&now, &here);
  here.tm_hour = here.tm_min = here.tm_sec = 0;
  here.tm_isdst = -1;
  const std::time_t began = std::mktime(&here);
  std::tm utc{};
  ::gmtime_r(&began, &utc);
  return written(kRecordTime, utc);
}

Button damaged_entry(int id, const std::filesystem::path& file, std::string message) {
  Button b;
  b.id = id;
  b.label = file.filename().string();
  b.detail = std::move(message);
  b.enabled = false;
  b.bad = true;
  return b;
}

}  // namespace app
