#include "app/system/watchdog.h"

namespace app {
namespace {

constexpr double kSilence = 0.5;  // of the limit: the rest is for the last beat that was given
constexpr double kBeats = 4.0;    // within the limit

}  // namespace

bool Watchdog::feed(Time now) {
  if (!limit_) return false;
  const auto silent = [&](Time last) { return now - last > kSilence * *limit_; };
  if (silent(drawn_) || (!ended_ && silent(frames_))) return false;
  if (fed_ && now - *fed_ < *limit_ / kBeats) return false;
  fed_ = now;
  return true;
}

}  // namespace app
