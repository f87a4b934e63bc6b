// The best closed line through a map that repeats along one side: around a ring, from turn to turn.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

namespace calib {

struct ClosedPath {
  std::vector<int> column;  // one a row
  double mean = 0.0;        // of the rewards along it, jumps not counted
};

// reward: rows around the ring, the last followed by the first; columns across it. The line moves by at most `reach`
// columns from row to row, each at `jump_cost`. Dynamic programming over two laps: the second has forgotten the start.
ClosedPath closed_path(const cv::Mat1f& reward, int reach, float jump_cost);

}  // namespace calib
