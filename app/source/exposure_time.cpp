#include "app/source/exposure_time.h"

#include <algorithm>
#include <ctime>

namespace app {
namespace {

std::int64_t read(clockid_t clock) {
  timespec time{};
  clock_gettime(clock, &time);
  return std::int64_t{time.tv_sec} * 1'000'000'000 + time.tv_nsec;
}

}  // namespace

SystemClocks system_clocks() { return {read(CLOCK_MONOTONIC), read(CLOCK_BOOTTIME)}; }

std::optional<std::chrono::steady_clock::time_point> exposed_at(std::int64_t stamp_ns, const SystemClocks& now) {
  if (stamp_ns <= 0) return std::nullopt;
  std::optional<std::int64_t> age_ns;
  for (const std::int64_t clock_ns : {now.monotonic_ns, now.boot_ns}) {
    const std::int64_t age = clock_ns - stamp_ns;
    if (age >= 0 && age <= kOldest.count()) age_ns = std::min(age, age_ns.value_or(age));
  }
  if (!age_ns) return std::nullopt;
  return std::chrono::steady_clock::time_point(std::chrono::nanoseconds(now.monotonic_ns - *age_ns));
}

}  // namespace app
