// When a frame was exposed, on the program's own clock, from the stamp that came with it.
#pragma once

#include <chrono>
#include <cstdint>
#include <optional>

namespace app {

// The system's clocks at one moment, ns. They go alike but for the time that the machine slept.
struct SystemClocks {
  std::int64_t monotonic_ns = 0;  // CLOCK_MONOTONIC, which is std::chrono::steady_clock's
  std::int64_t boot_ns = 0;       // CLOCK_BOOTTIME
};
SystemClocks system_clocks();

// `stamp_ns`: of whichever of the two clocks the camera's pipeline uses (libcamera says CLOCK_BOOTTIME, and many of its
// pipelines hand on the kernel's CLOCK_MONOTONIC). It is of the clock on which the frame is younger, but not from the
// future. Nothing for a stamp that makes no sense on either: none, from the future, or older than kOldest.
std::optional<std::chrono::steady_clock::time_point> exposed_at(std::int64_t stamp_ns, const SystemClocks& now);

inline constexpr std::chrono::nanoseconds kOldest = std::chrono::seconds(1);

}  // namespace app
