#include "app/work/idle_watch.h"

#include <algorithm>

namespace app {

void IdleWatch::see(const cv::Mat&, double time_s) { now_s_ = std::max(now_s_, time_s); }

void IdleWatch::touched(double time_s) { now_s_ = since_s_ = std::max(now_s_, time_s); }

}  // namespace app
