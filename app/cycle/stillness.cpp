#include "app/cycle/stillness.h"

#include <cmath>

namespace app {

bool moved(const vision::Pose2& a, const vision::Pose2& b, const StillLimits& limits) {
  const cv::Point2d d = a.origin_mm - b.origin_mm;
  const double turn_deg = std::abs(vision::wrapped_rad(a.angle_rad - b.angle_rad)) * vision::kDegPerRad;
  return !(std::hypot(d.x, d.y) <= limits.move_mm && turn_deg <= limits.turn_deg);
}

void Stillness::update(const std::vector<vision::Pose2>& poses, double time_s) {
  bool rests = rest_ && rest_->size() == poses.size() && time_s >= now_s_;
  for (std::size_t i = 0; rests && i < poses.size(); ++i) rests = !moved(poses[i], (*rest_)[i], limits_);
  now_s_ = time_s;
  if (rests) return;
  rest_ = poses;
  since_s_ = time_s;
}

}  // namespace app
