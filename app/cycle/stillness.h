// Whether something in the picture has come to rest.
#pragma once

#include <optional>
#include <vector>

#include "vision/geometry.h"

namespace app {

// Furthest that a pose may be from where it came to rest.
struct StillLimits {
  double move_mm = 0.25;
  double turn_deg = 0.15;
};

class Stillness {
 public:
  explicit Stillness(StillLimits limits = {}) : limits_(limits) {}
  // Poses that are watched together, always in the same order and number, at a time that never runs back.
  void update(const std::vector<vision::Pose2>& poses, double time_s);
  void forget() { rest_.reset(); }
  // Seconds since all of them came to rest; 0 while one moves and before the first update.
  double still_s() const { return rest_ ? now_s_ - since_s_ : 0.0; }

 private:
  StillLimits limits_;
  std::optional<std::vector<vision::Pose2>> rest_;
  double since_s_ = 0.0, now_s_ = 0.0;
};

// Whether two poses differ by more than the limits.
bool moved(const vision::Pose2& a, const vision::Pose2& b, const StillLimits& limits);

}  // namespace app
