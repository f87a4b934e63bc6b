// Reads the proof sheet in a frame: its ring as a hoop, its five stickers one after the other.
#pragma once

#include <memory>
#include <opencv2/core.hpp>
#include <optional>

#include "calib/proof_readings.h"
#include "vision/reading.h"
#include "vision/station.h"

namespace calib {

struct ProofSight {
  vision::Status status = vision::Status::no_board;  // of the first sticker that could not be read; ok for all five
  int sticker = 0;                                   // that one's number
  std::optional<ProofFrame> frame;                   // exactly when status is ok
};

class ProofReader {
 public:
  explicit ProofReader(const vision::Station& station);
  ~ProofReader();
  ProofReader(ProofReader&&) noexcept;
  ProofReader& operator=(ProofReader&&) noexcept;

  // grey: 8 bit, one channel, of the lens's size; throws std::invalid_argument for another. A sticker counts with all
  // its four tags, so that a stretch does not turn it.
  ProofSight read(const cv::Mat& grey, const std::string& name);
  // All that was seen in the last frame, for drawing.
  const vision::FrameResult& seen() const;
  // For pictures that have nothing to do with one another.
  void forget();

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace calib
