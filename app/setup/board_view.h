// What one frame shows of a board under survey: the sheet, the marks, and whether all is at rest.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "calib/survey_board.h"
#include "vision/reading.h"

namespace app {

struct BoardView {
  calib::SeenChart chart;
  std::vector<vision::SeenTag> marks;  // tags 400 to 449
};

// Numbers seen at two places.
std::vector<int> seen_twice(const BoardView& view);
bool sees_mark(const BoardView& view, int id);
cv::Point2d tag_centre(const vision::SeenTag& tag);

// The sheet's outline in the picture, counter-clockwise or clockwise: its pattern and a margin of `margin_mm` around
// it; empty where too few corners are seen.
std::vector<cv::Point2d> sheet_outline(const calib::SeenChart& chart, double margin_mm);

// How far the sheet lies from where it lay in another view of the same camera, px: the middle one of its corners' ways.
// Nothing where the two share no corner.
std::optional<double> sheet_way_px(const calib::SeenChart& a, const calib::SeenChart& b);

// Tells rest from motion: nothing moved by more than noise for a while.
class RestWatch {
 public:
  // Seconds for which all has been at rest.
  double update(const BoardView& view, double time_s);

 private:
  std::optional<BoardView> start_;  // since when nothing has moved
  double start_s_ = 0.0;
};

}  // namespace app
