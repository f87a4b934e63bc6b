#include "app/straighten/line_look.h"

#include "vision/cloth_sight.h"

namespace app {

LineSeen LineLook::see(const cv::Mat& grey, const vision::Station& station, const vision::Hoop& hoop,
                       const vision::FrameResult& frame, const LineWanted& wanted) {
  LineSeen seen;
  seen.kind = wanted.kind;
  seen.board = frame.camera_from_board.has_value();
  seen.kept = !frame.board_from_hoop;
  const auto sight = vision::cloth_sight(station, hoop, frame, wanted.kept_hoop, wanted.cloth_height_mm);
  if (!sight) return seen;
  seen.hoop = true;
  seen.board_from_hoop = sight->board_from_hoop;
  seen.cloth_height_mm = sight->cloth_height_mm;
  switch (wanted.kind) {
    case LookKind::line:
      see_line(grey, *sight, wanted, seen);
      break;
    case LookKind::weave:
      seen.weave = vision::read_weave(grey, *sight);
      break;
    case LookKind::box: {
      vision::RectangleOptions options;
      options.expected_mm = wanted.box_mm;
      seen.box = vision::find_stitched_rectangle(grey, *sight, options);
      break;
    }
  }
  return seen;
}

void LineLook::see_line(const cv::Mat& grey, const vision::ClothSight& sight, const LineWanted& wanted,
                        LineSeen& seen) {
  if (wanted.pointings != pointings_) {
    pointings_ = wanted.pointings;
    near_mm_ = wanted.near_mm;
    last_.reset();
  }
  vision::LineOptions options;
  options.near_mm = near_mm_;
  options.last = last_;
  seen.line = vision::read_line(grey, sight, options);
  if (seen.line.status != vision::LineStatus::ok) {
    last_.reset();
    return;
  }
  last_ = seen.line.line;
  // What was pointed at goes with its line.
  if (near_mm_) near_mm_ = 0.5 * (last_->from_mm + last_->to_mm);
}

}  // namespace app
