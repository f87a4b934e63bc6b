// Where the hoop lies, kept from when it was set, while the cloth hides its ring.
//
// The outer ring is set on the board and seen; then the cloth is laid over it and the ring is not seen any more. What
// the operator needs meanwhile is the way of the cloth to the hoop as it was set. This guides only: it is not a
// reading, for nobody sees whether the hoop crept. The reading comes when the ring is pressed and seen again.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "vision/reading.h"

namespace app {

// The sticker in the frame of the kept hoop, as a Reading without uncertainty (zeros).
struct Guide {
  vision::Reading reading;
  vision::Pose2 board_from_hoop;
};

class KeptHoop {
 public:
  // Keeps the hoop of a frame that shows the ring and no sticker; lets go of it when a reading says that the ring has
  // been pressed, or when the board moved.
  void update(const vision::FrameResult& result);
  // Where the ring is hidden and exactly one sticker is seen. Nothing in every other case.
  std::optional<Guide> guide(const vision::FrameResult& result) const;

  // The kept ring in the image, for drawing; empty when none is kept.
  const std::vector<cv::Point2d>& inner_px() const { return inner_px_; }
  const std::vector<cv::Point2d>& outer_px() const { return outer_px_; }

 private:
  void forget();

  std::optional<vision::Pose2> board_from_hoop_;
  std::vector<cv::Point2d> inner_px_, outer_px_;
};

}  // namespace app
