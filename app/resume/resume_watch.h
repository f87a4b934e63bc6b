// The stickers that mark points of a begun design, averaged while ring and cloth lie still.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "app/cycle/seen_time.h"
#include "app/cycle/stillness.h"
#include "app/resume/resume.h"
#include "vision/reading.h"

namespace app {

class ResumeWatch {
 public:
  static constexpr double kStill_s = 0.7;  // as for a reading
  static constexpr int kLeastFrames = 5;

  // A frame and its time, seconds; the same frame again says nothing. Of the stickers those count that are seen well
  // and within the ring.
  void see(const vision::FrameResult& result, double time_s);
  void forget();
  // Lying still for long enough: as averaged so far, in the order in which they are seen. Empty otherwise.
  const std::vector<HoopedSticker>& rested() const { return rested_; }
  // Of the last frame that counted.
  const vision::Covariance3& hoop_covariance() const { return hoop_covariance_; }
  // How much of the stillness is reached, 0 to 1.
  double stillness() const;

 private:
  void start_anew();

  SeenTime time_;
  std::optional<double> frame_s_;
  double now_s_ = 0.0;
  Stillness still_;
  std::vector<HoopedSticker> sums_, rested_;
  int frames_ = 0;
  vision::Covariance3 hoop_covariance_ = vision::Covariance3::zeros();
};

}  // namespace app
