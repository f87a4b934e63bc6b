#include "app/views/records/records_ask.h"

namespace app {

std::int64_t span_began(RecordsSpan span, std::time_t now) {
  constexpr int kDays[kRecordsSpans] = {0, 27, 90, 364};
  std::tm here{};
  ::localtime_r(&now, &here);
  here.tm_hour = here.tm_min = here.tm_sec = 0;
  here.tm_isdst = -1;
  here.tm_mday -= kDays[static_cast<int>(span)];
  return std::mktime(&here);
}

}  // namespace app
