#include "app/work/idle_watch.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

namespace app {
namespace {

// How much brighter `now` is: the middle one of the blocks' ratios, so that a hand in the picture does not count.
float brighter(const cv::Mat1f& now, const cv::Mat1f& rest) {
  std::vector<float> ratios;
  ratios.reserve(now.total());
  for (int y = 0; y < now.rows; ++y)
    for (int x = 0; x < now.cols; ++x) ratios.push_back((now(y, x) + 1.0F) / (rest(y, x) + 1.0F));
  const auto middle = ratios.begin() + static_cast<std::ptrdiff_t>(ratios.size() / 2);
  std::nth_element(ratios.begin(), middle, ratios.end());
  return *middle;
}

}  // namespace

bool IdleWatch::changed(const cv::Mat1f& now) const {
  const float gain = brighter(now, rest_);
  if (!(std::abs(gain - 1.0F) <= static_cast<float>(kLightChange))) return true;
  int blocks = 0;
  for (int y = 0; y < now.rows; ++y)
    for (int x = 0; x < now.cols; ++x) {
      const float expected = gain * rest_(y, x);
      if (std::abs(now(y, x) - expected) > std::max(kLeastLevels, kBlockChange * expected)) ++blocks;
    }
  return blocks >= kLeastBlocks;
}

void IdleWatch::see(const cv::Mat& grey, double time_s) {
  now_s_ += time_.step(time_s).value_or(0.0);
  if (grey.empty()) return;
  const double passed_s = now_s_ - looked_s_;
  if (!rest_.empty() && passed_s < kEvery_s) return;
  looked_s_ = now_s_;
  cv::resize(grey, coarse_, {kAcross, kDown}, 0.0, 0.0, cv::INTER_AREA);
  cv::Mat1f now;
  coarse_.convertTo(now, CV_32F);
  if (rest_.empty()) {
    rest_ = now;
  } else if (changed(now)) {
    rest_ = now;
    since_s_ = now_s_;
  } else {
    cv::addWeighted(rest_, std::exp(-passed_s / kFollowLight_s), now, 1.0 - std::exp(-passed_s / kFollowLight_s), 0.0,
                    rest_);
  }
}

}  // namespace app
