// Whether a taught hoop is found again: the bare rings, shifted and turned by hand, in frames of their own.
#pragma once

#include <opencv2/core.hpp>
#include <string>
#include <vector>

#include "calib/teach_ring.h"
#include "vision/geometry.h"
#include "vision/station.h"

namespace calib {

inline constexpr int kCheckFrames = 3;

struct CheckedFrame {
  bool found = false;
  bool moved = false;   // far enough from all frames before it to count
  bool agrees = false;  // outlines and notches lie where they were taught, within their uncertainty
  vision::Pose2 board_from_hoop;
  double size_mm = 0.0;   // how much larger the ring appears than it was taught
  double notch_mm = 0.0;  // the worst notch off its place along the rim
  double support = 0.0;   // share of the outline that was found
  std::string sentence;   // what this frame says, and what to do
};

struct CheckOutcome {
  bool complete = false;  // kCheckFrames frames that moved were found
  bool good = false;      // complete, and all of them agree
  std::string sentence;
  std::vector<CheckedFrame> frames;
};

// Fed frame by frame; frames in which the ring lies as before, or is not found, are told but do not count.
class HoopCheck {
 public:
  // The place where the hoop was taught counts as one before: it has to be moved from there.
  HoopCheck(const TaughtRing& ring, vision::Station station);

  // grey: 8 bit, one channel, of the lens's size. Does not throw for what a frame shows.
  const CheckedFrame& take(const cv::Mat& grey);
  CheckOutcome outcome() const;

 private:
  TaughtRing ring_;
  vision::Station station_;
  std::vector<CheckedFrame> frames_;
};

}  // namespace calib
