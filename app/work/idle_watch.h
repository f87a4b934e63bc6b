// Whether anything has happened on the board for a long time: the screen may rest.
#pragma once

#include <opencv2/core.hpp>

#include "app/cycle/seen_time.h"

namespace app {

// Compares a coarse picture (averages over blocks, so noise does not count) with the one at rest, which follows slow
// changes of the light. A lamp's flicker of some percent does not count, a lamp switched on or off does.
class IdleWatch {
 public:
  // Relative change of a block, grey levels that it must be at least, and blocks that must have changed together.
  static constexpr float kBlockChange = 0.08F, kLeastLevels = 3.0F;
  static constexpr int kLeastBlocks = 4;
  static constexpr double kLightChange = 0.15;     // of the whole picture
  static constexpr double kEvery_s = 0.2;          // frames in between are not looked at
  static constexpr double kFollowLight_s = 20.0;   // time constant of the picture at rest
  static constexpr double kLongestStep_s = 120.0;  // a longer one is another clock
  static constexpr int kAcross = 48, kDown = 27;

  // A frame, 8 bit grey, any size, and its time, seconds. What was not watched does not count as rest.
  void see(const cv::Mat& grey, double time_s);
  // Somebody touched a key or the screen.
  void touched() { since_s_ = now_s_; }
  // Since the last change or touch.
  double idle_s() const { return now_s_ - since_s_; }

 private:
  bool changed(const cv::Mat1f& now) const;

  cv::Mat coarse_;
  cv::Mat1f rest_;
  SeenTime time_{kLongestStep_s};
  double now_s_ = 0.0, since_s_ = 0.0, looked_s_ = 0.0;
};

}  // namespace app
