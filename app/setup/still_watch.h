// Whether what the camera sees has been still for a while, hands away: told from the pictures alone.
#pragma once

#include <opencv2/core.hpp>

namespace app {

class StillWatch {
 public:
  // Still is what does not change for this long.
  explicit StillWatch(double seconds = 0.7) : seconds_(seconds) {}

  // grey: 8 bit, one channel; time on the source's clock. True once nothing has moved for the time. Slow drift counts
  // as moving once it adds up; a change of the whole picture's brightness does not.
  bool take(const cv::Mat& grey, double time_s);
  // 0 to 1: how much of the time has passed.
  double share() const;
  // What comes next has to be still anew.
  void forget() { reference_.release(); }

 private:
  bool changed(const cv::Mat& small) const;

  double seconds_;
  cv::Mat reference_;  // the picture when it became still, made small
  double since_s_ = 0.0, now_s_ = 0.0;
};

}  // namespace app
