// Whether anything has happened on the board for a long time: the screen may rest.
#pragma once

#include <opencv2/core.hpp>

namespace app {

// Compares a coarse picture (averages over blocks, so noise does not count) with the one when something last moved.
// Slow changes of the light do not count.
class IdleWatch {
 public:
  // A frame, 8 bit grey, any size; time in seconds, never running back.
  void see(const cv::Mat& grey, double time_s);
  // Somebody touched a key or the screen.
  void touched(double time_s);
  // Since the last change.
  double idle_s() const { return now_s_ - since_s_; }
  // The time of the last frame or touch.
  double now_s() const { return now_s_; }

 private:
  cv::Mat coarse_, rest_;
  double now_s_ = 0.0, since_s_ = 0.0;
  bool started_ = false;
};

}  // namespace app
