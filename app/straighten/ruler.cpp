#include "app/straighten/ruler.h"

#include <algorithm>
#include <cmath>
#include <opencv2/calib3d.hpp>

#include "vision/geometry.h"

namespace app {
namespace {

constexpr int kMostFrames = 30;

cv::Point2d span(const vision::Lens& lens, const vision::CameraPose& pose, const RulerPoints& points, double height) {
  return vision::board_at_height(lens, pose, points.to_px, height) -
         vision::board_at_height(lens, pose, points.from_px, height);
}

// Spans of slightly other inputs give the sensitivities (JCGM 100:2008, 5.1.3).
class Variance {
 public:
  explicit Variance(cv::Point2d span_mm) : span_(span_mm) {}
  void add(cv::Point2d other_span, double step, double standard_u) {
    const cv::Vec2d j((other_span.x - span_.x) / step, (other_span.y - span_.y) / step);
    sum_ += standard_u * standard_u * (j * j.t());
  }
  cv::Matx22d sum_ = cv::Matx22d::zeros();

 private:
  cv::Point2d span_;
};

vision::CameraPose moved(const vision::CameraPose& pose, int k, double by) {
  vision::CameraPose other = pose;
  if (k >= 3) {
    other.translation_mm[k - 3] += by;
    return other;
  }
  cv::Vec3d turn(0.0, 0.0, 0.0);
  turn[k] = by;
  cv::Matx33d rotation;
  cv::Rodrigues(turn, rotation);
  other.rotation = rotation * pose.rotation;
  return other;
}

// The camera pose's six errors go together.
cv::Matx22d by_camera(const vision::Lens& lens, const vision::CameraPose& pose, const RulerPoints& points,
                      double height, cv::Point2d at) {
  cv::Matx<double, 2, 6> j;
  for (int k = 0; k < 6; ++k) {
    const double step = k < 3 ? 1e-5 : 1e-2;
    const cv::Point2d other = span(lens, moved(pose, k, step), points, height);
    j(0, k) = (other.x - at.x) / step;
    j(1, k) = (other.y - at.y) / step;
  }
  return j * pose.covariance * j.t();
}

}  // namespace

std::optional<RulerReading> measured_between(const vision::Lens& lens, const vision::CameraPose& pose,
                                             const RulerPoints& points, const RulerPlane& plane) {
  const cv::Point2d d = span(lens, pose, points, plane.height_mm);
  if (!std::isfinite(d.x) || !std::isfinite(d.y)) return std::nullopt;
  Variance variance(d);
  constexpr double kStepPx = 0.5, kStepMm = 0.1;
  for (const cv::Point2d& by : {cv::Point2d(kStepPx, 0.0), cv::Point2d(0.0, kStepPx)}) {
    RulerPoints from = points, to = points;
    from.from_px += by, to.to_px += by;
    variance.add(span(lens, pose, from, plane.height_mm), kStepPx, points.u_px);
    variance.add(span(lens, pose, to, plane.height_mm), kStepPx, points.u_px);
  }
  variance.add(span(lens, pose, points, plane.height_mm + kStepMm), kStepMm, plane.u_height_mm);
  variance.add(d * (1.0 + plane.print_scale_u), 1.0, 1.0);
  const cv::Matx22d covariance = variance.sum_ + by_camera(lens, pose, points, plane.height_mm, d);

  RulerReading r;
  r.right_mm = d.x;
  r.away_mm = d.y;
  r.distance_mm = std::hypot(d.x, d.y);
  if (!(r.distance_mm > 1e-9)) {
    r.u_distance_mm = 2.0 * std::sqrt(std::max(covariance(0, 0), covariance(1, 1)));
    return r;
  }
  const cv::Vec2d along(d.x / r.distance_mm, d.y / r.distance_mm), across(-along[1], along[0]);
  r.u_distance_mm = 2.0 * std::sqrt(std::max(0.0, along.dot(covariance * along)));
  r.angle_deg = std::atan2(d.y, d.x) * vision::kDegPerRad;
  if (r.angle_deg <= -180.0) r.angle_deg += 360.0;
  r.u_angle_deg = 2.0 * std::sqrt(std::max(0.0, across.dot(covariance * across))) / r.distance_mm * vision::kDegPerRad;
  return r;
}

void RulerAverage::see(const std::optional<RulerReading>& reading) {
  if (!reading) return;
  if (!mean_) {
    mean_ = reading;
    frames_ = 1;
    return;
  }
  frames_ = std::min(frames_ + 1, kMostFrames);
  const double share = 1.0 / frames_;
  const auto towards = [share](double& mean, double value) { mean += share * (value - mean); };
  towards(mean_->right_mm, reading->right_mm);
  towards(mean_->away_mm, reading->away_mm);
  towards(mean_->u_distance_mm, reading->u_distance_mm);
  towards(mean_->u_angle_deg, reading->u_angle_deg);
  mean_->distance_mm = std::hypot(mean_->right_mm, mean_->away_mm);
  if (mean_->distance_mm > 1e-9) mean_->angle_deg = std::atan2(mean_->away_mm, mean_->right_mm) * vision::kDegPerRad;
}

}  // namespace app
