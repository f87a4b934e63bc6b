// Which other taught hoop lies on the board, where the one that is looked for does not.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

#include "vision/reading.h"
#include "vision/ring.h"
#include "vision/station.h"

namespace app {

// Whether two hoops' outlines differ by less than `limit_mm` all around, whichever way they are turned: a camera that
// sees one may take it for the other.
bool look_alike(const vision::Hoop& a, const vision::Hoop& b, double limit_mm);

// Never a word while the hoop looked for is seen. Another is named when it fits clearly in several frames and lies
// still, and no third one of much the same outline fits as well.
class OtherHoops {
 public:
  // In frames without the ring that is looked for: how often another hoop is tried, one a time.
  static constexpr int kTryEvery = 4;
  static constexpr int kFramesToName = 4, kFailuresToDrop = 3;
  static constexpr double kAlikeMm = 3.0;   // never named: taken for the hoop looked for, by people too
  static constexpr double kCloseMm = 10.0;  // two that are tried against one another

  OtherHoops(const vision::Lens& lens, const vision::Hoop& looked_for, const std::vector<vision::Hoop>& others);

  // The frame, and what was read of it with the hoop looked for.
  void see(const cv::Mat& grey, const vision::FrameResult& result);
  // The hoop that lies there instead; empty: none, or not known.
  const std::string& name() const { return name_; }

 private:
  struct Other {
    vision::RingGauge gauge;
    std::vector<std::size_t> close;  // others of nearly its outline
  };
  bool fits(std::size_t which, const cv::Mat& grey, const vision::FrameResult& result,
            const std::optional<vision::Pose2>& last);
  void try_next(const cv::Mat& grey, const vision::FrameResult& result);
  void follow(const cv::Mat& grey, const vision::FrameResult& result);
  bool stands_out(const cv::Mat& grey, const vision::FrameResult& result);
  void drop();

  vision::Lens lens_;
  std::vector<Other> others_;
  std::size_t next_ = 0;
  int frames_ = 0;  // without the ring looked for, in a row
  // The one that fitted last.
  std::optional<std::size_t> candidate_;
  vision::Pose2 board_from_candidate_;
  int seen_ = 0, missed_ = 0;
  std::string name_;
};

}  // namespace app
