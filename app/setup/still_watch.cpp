#include "app/setup/still_watch.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

namespace app {
namespace {

// Squares of this side, px, are averaged: noise falls below a grey level, an edge that moves by a px changes one by an
// eighth of its step.
constexpr int kSquare_px = 8;
constexpr double kChange = 6.0;       // grey levels that noise does not reach
constexpr double kMovedShare = 2e-4;  // of the squares: a finger tip at the picture's edge

}  // namespace

bool StillWatch::changed(const cv::Mat& small) const {
  if (small.size() != reference_.size()) return true;
  const double brighter = cv::mean(small)[0] / std::max(1.0, cv::mean(reference_)[0]);
  cv::Mat difference;
  cv::scaleAdd(reference_, -brighter, small, difference);
  const int moved = cv::countNonZero(cv::abs(difference) > kChange);
  return moved > std::max(1, static_cast<int>(std::lround(kMovedShare * static_cast<double>(small.total()))));
}

bool StillWatch::take(const cv::Mat& grey, double time_s) {
  cv::Mat small;
  cv::resize(grey, small, {std::max(1, grey.cols / kSquare_px), std::max(1, grey.rows / kSquare_px)}, 0.0, 0.0,
             cv::INTER_AREA);
  small.convertTo(small, CV_32F);
  now_s_ = time_s;
  if (reference_.empty() || !(time_s >= since_s_) || changed(small)) {
    reference_ = small;
    since_s_ = time_s;
  }
  return now_s_ - since_s_ >= seconds_;
}

double StillWatch::share() const {
  return reference_.empty() || !(seconds_ > 0.0) ? 0.0 : std::clamp((now_s_ - since_s_) / seconds_, 0.0, 1.0);
}

}  // namespace app
