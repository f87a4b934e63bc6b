// The crosses of a group of stickers while they lie still.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "app/cycle/stillness.h"
#include "app/stretch/stretch.h"
#include "vision/reading.h"

namespace app {

class RestingGroup {
 public:
  static constexpr double kStill_s = 0.7;  // as for a reading
  static constexpr int kLeastFrames = 5;

  // A frame with a group that is asked for; `time_s` never runs back. The cloth's taught height over the board.
  void update(const vision::FrameResult& result, double cloth_height_mm, double time_s);
  // They moved, or nobody watched: what comes to rest next is averaged anew. What had rested stays.
  void break_off();
  void forget();
  // What had rested is no more; what is being averaged goes on.
  void forget_rest() { rested_.clear(); }
  // Two or more that rested together: of the newest rest of the most stickers. Empty before.
  const std::vector<RestingCross>& rested() const { return rested_; }

 private:
  Stillness still_;
  std::vector<RestingCross> sums_;  // covariances summed as well
  int frames_ = 0;
  std::vector<RestingCross> rested_;
};

}  // namespace app
