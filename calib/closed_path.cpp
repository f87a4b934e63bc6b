#include "calib/closed_path.h"

#include <algorithm>

namespace calib {

ClosedPath closed_path(const cv::Mat1f& reward, int reach, float jump_cost) {
  ClosedPath path;
  const int rows = reward.rows, columns = reward.cols;
  if (rows == 0 || columns == 0) return path;
  cv::Mat1b came_from(2 * rows, columns);  // the jump, plus reach
  std::vector<float> before(static_cast<size_t>(columns), 0.0F), now(before.size());
  for (int step = 0; step < 2 * rows; ++step) {
    const float* gain = reward[step % rows];
    uchar* from = came_from[step];
    for (int c = 0; c < columns; ++c) {
      float best = before[static_cast<size_t>(c)];
      int jump = 0;
      const int low = std::max(-reach, -c), high = std::min(reach, columns - 1 - c);
      for (int j = low; j <= high; ++j) {
        const float value = before[static_cast<size_t>(c + j)] - jump_cost * static_cast<float>(j < 0 ? -j : j);
        if (value > best) best = value, jump = j;
      }
      now[static_cast<size_t>(c)] = best + gain[c];
      from[c] = static_cast<uchar>(jump + reach);
    }
    std::swap(before, now);
  }
  int c = static_cast<int>(std::max_element(before.begin(), before.end()) - before.begin());
  path.column.assign(static_cast<size_t>(rows), 0);
  double sum = 0.0;
  for (int step = 2 * rows - 1; step >= rows; --step) {
    path.column[static_cast<size_t>(step - rows)] = c;
    sum += static_cast<double>(reward(step - rows, c));
    c += came_from(step, c) - reach;
  }
  path.mean = sum / rows;
  return path;
}

}  // namespace calib
