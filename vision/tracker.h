// From frames to readings. A tracker keeps what the last frame told; a fresh one gives the same reading
// within its uncertainty, only later.
#pragma once

#include <memory>
#include <opencv2/core.hpp>
#include <optional>

#include "vision/reading.h"
#include "vision/station.h"
#include "vision/sticker_group.h"

namespace vision {

struct TrackerOptions {
  // The sticker that counts when several are seen; without it a second sticker is `several_stickers`.
  std::optional<int> sticker;
  // Stickers that belong to one design; the reading is then the design's pose in the hoop, and other stickers do not
  // count. Of two or more at least two must be seen within the ring, and those that are seen must agree. Empty: the
  // reading is that of one sticker. `sticker` is not looked at.
  StickerGroup group;
  // Half-width of the interval, mm, in which the true rim and cloth heights lie around the taught ones (rectangular).
  double height_limit_mm = 0.7;
  // Standard uncertainty of the print scale, relative.
  double print_scale_u = 0.0005;
  // Ring or sticker moving further than this, mm, between two consecutive frames is `moving`. Infinite for
  // pictures that have nothing to do with one another.
  double moving_limit_mm = 1e9;
};

class Tracker {
 public:
  Tracker(Station station, Hoop hoop, TrackerOptions options = {});
  ~Tracker();
  Tracker(Tracker&&) noexcept;
  Tracker& operator=(Tracker&&) noexcept;

  // grey: 8 bit, one channel, of the lens's size; any row stride, not copied.
  // Throws std::invalid_argument for another type or size.
  const FrameResult& read(const cv::Mat& grey);

  // Forgets the last frame: the next is searched as the first one.
  void forget();

  const Station& station() const;
  const Hoop& hoop() const;
  void set_hoop(Hoop hoop);
  void set_options(const TrackerOptions& options);

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace vision
