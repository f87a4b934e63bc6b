// Processor time of this process and time on the wall.
#pragma once

#include <algorithm>
#include <ctime>
#include <vector>

namespace bench {

class Stopwatch {
 public:
  Stopwatch() : cpu_(now_ms(CLOCK_PROCESS_CPUTIME_ID)), wall_(now_ms(CLOCK_MONOTONIC)) {}
  // All threads of the process count, so nothing hides in a second one.
  double cpu_ms() const { return now_ms(CLOCK_PROCESS_CPUTIME_ID) - cpu_; }
  double wall_ms() const { return now_ms(CLOCK_MONOTONIC) - wall_; }

 private:
  static double now_ms(clockid_t clock) {
    timespec t{};
    clock_gettime(clock, &t);
    return static_cast<double>(t.tv_sec) * 1e3 + static_cast<double>(t.tv_nsec) * 1e-6;
  }
  double cpu_, wall_;
};

// The value below which the share q of the values lies; the nearest rank. 0 without values.
inline double quantile(std::vector<double> values, double q) {
  if (values.empty()) return 0.0;
  const auto rank = static_cast<std::ptrdiff_t>(q * static_cast<double>(values.size() - 1) + 0.5);
  std::nth_element(values.begin(), values.begin() + rank, values.end());
  return values[static_cast<std::size_t>(rank)];
}

inline double median(std::vector<double> values) { return quantile(std::move(values), 0.5); }

}  // namespace bench
