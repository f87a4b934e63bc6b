// Notices that a fixed exposure has become wrong: the lamps were changed, or the sun came round.
#pragma once

#include <optional>

#include "vision/reading.h"

namespace app {

class LightWatch {
 public:
  // A hand or a dark cloth passes; after so long without a break it is the light.
  static constexpr double kWrong_s = 5.0;
  // Where it helped nothing, it is not tried more often than this: each time the picture changes for a second.
  static constexpr double kPause_s = 30.0;

  // Takes a frame's status; true when the camera shall find its exposure anew. `now_s`: a steady clock's.
  bool see(vision::Status status, double now_s);

 private:
  std::optional<double> wrong_since_s_, asked_s_;
};

}  // namespace app
