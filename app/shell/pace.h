// How fast frames come and how old they are on the screen.
#pragma once

#include <algorithm>
#include <array>
#include <chrono>
#include <cstddef>

#include "app/measuring.h"

namespace app {

class Pace {
 public:
  // A frame has just become visible. `began`: when its exposure began, or when it arrived.
  void shown(Clock::time_point began, Clock::time_point now = Clock::now()) {
    // The first frame waits for fonts and textures and says nothing about the others.
    const double weight = count_ == 0 ? 0.0 : count_ == 1 ? 1.0 : 0.1;
    latency_ms_ += weight * (std::chrono::duration<double, std::milli>(now - began).count() - latency_ms_);
    times_[count_++ % times_.size()] = now;
  }
  double latency_ms() const { return latency_ms_; }
  long frames() const { return static_cast<long>(count_); }
  // Over the last frames.
  double per_second() const {
    if (count_ < 2) return 0.0;
    const std::size_t n = std::min(count_, times_.size());
    const auto newest = times_[(count_ - 1) % times_.size()];
    const auto oldest = times_[(count_ - n) % times_.size()];
    return static_cast<double>(n - 1) / std::max(1e-3, std::chrono::duration<double>(newest - oldest).count());
  }

 private:
  std::array<Clock::time_point, 20> times_{};
  std::size_t count_ = 0;
  double latency_ms_ = 0.0;
};

}  // namespace app
