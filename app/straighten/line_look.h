// The measuring thread's look at the cloth itself: a line, the weave's direction, or a stitched box. Only while it is
// wanted.
#pragma once

#include <opencv2/core.hpp>
#include <optional>

#include "vision/reading.h"
#include "vision/station.h"
#include "vision/stitched_rectangle.h"
#include "vision/straight_line.h"
#include "vision/weave.h"

namespace app {

enum class LookKind {
  line,   // a fold, a hem, a seam, a border
  weave,  // the run of stripes or checks
  box,    // a stitched basting box
};

struct LineWanted {
  LookKind kind = LookKind::line;
  // Where the hoop lies while cloth hides it.
  std::optional<vision::Pose2> kept_hoop;
  // What a person pointed at, hoop frame, mm. Each time they point, `pointings` counts one more.
  std::optional<cv::Point2d> near_mm;
  int pointings = 0;
  std::optional<double> cloth_height_mm;  // of a thick cloth's face; else as taught with the hoop
  cv::Size2d box_mm;                      // with box
};

struct LineSeen {
  LookKind kind = LookKind::line;
  bool board = false, hoop = false;  // what is needed was known
  bool kept = false;                 // the hoop's place is that of before the cloth hid it
  vision::Pose2 board_from_hoop;
  double cloth_height_mm = 0.0;
  vision::LineReading line;
  vision::WeaveReading weave;
  vision::StitchedRectangle box;
};

class LineLook {
 public:
  // Keeps from one frame to the next which line it was.
  LineSeen see(const cv::Mat& grey, const vision::Station& station, const vision::Hoop& hoop,
               const vision::FrameResult& frame, const LineWanted& wanted);
  void forget() { *this = LineLook(); }

 private:
  void see_line(const cv::Mat& grey, const vision::ClothSight& sight, const LineWanted& wanted, LineSeen& seen);

  std::optional<vision::FoundLine> last_;
  std::optional<cv::Point2d> near_mm_;
  int pointings_ = -1;
};

}  // namespace app
