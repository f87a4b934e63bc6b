// Badges and job tickets laid on the board.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "app/cycle/seen_time.h"
#include "vision/reading.h"

namespace app {

inline constexpr int kFirstCard = 480, kLastCard = 586;

// A card counts once it has lain still for a moment, and once only until it has been gone for a while. One that is
// carried over the board, or shows for a moment between fingers, does not count.
class CardWatch {
 public:
  static constexpr double kLain_s = 0.4, kBlink_s = 0.5, kGone_s = 2.0;
  static constexpr int kLeastFrames = 4;

  // Cards that count from this frame on, in the order of their numbers. `tags`: whatever of the family was seen;
  // time of the frame, seconds.
  std::vector<int> see(const std::vector<vision::SeenTag>& tags, double time_s);
  // Cards that counted still do, until they have been gone for a while.
  void frames_lost();

 private:
  struct Card {
    int id = -1;
    cv::Point2d rest_px;
    double rests_since_s = 0.0, seen_s = 0.0;
    int frames = 0;
    bool counted = false;
  };
  void put(const vision::SeenTag& tag);

  std::vector<Card> cards_;
  SeenTime time_;
  double now_s_ = 0.0;
};

}  // namespace app
