#include "app/stretch/stretch.h"

#include <algorithm>
#include <cmath>

#include "vision/fits.h"
#include "vision/geometry.h"

namespace app {
namespace {

constexpr double kLeastBase_mm = 10.0;
// Points within this share of their length from one line tell nothing of what happens across it.
constexpr double kOnALine = 0.15;

using Strain = cv::Vec3d;  // xx, yy, xy

struct Spread {
  cv::Point2d mean{0.0, 0.0};
  double xx = 0.0, yy = 0.0, xy = 0.0;
  double angle_rad() const { return 0.5 * std::atan2(2.0 * xy, xx - yy); }
  double larger() const { return 0.5 * (xx + yy) + std::hypot(0.5 * (xx - yy), xy); }
  double smaller() const { return std::max(0.0, xx + yy - larger()); }
};

Spread spread(const std::vector<cv::Point2d>& points) {
  Spread s;
  for (const cv::Point2d& p : points) s.mean += p * (1.0 / static_cast<double>(points.size()));
  for (const cv::Point2d& p : points) {
    const cv::Point2d d = p - s.mean;
    s.xx += d.x * d.x, s.yy += d.y * d.y, s.xy += d.x * d.y;
  }
  return s;
}

// From flat places in the design's directions and pressed ones in any: how much longer the line became. Of two points
// the ratio of their distances.
Strain along_line(const std::vector<cv::Point2d>& flat, const std::vector<cv::Point2d>& pressed) {
  const Spread before = spread(flat);
  double dot = 0.0, cross = 0.0;
  cv::Point2d mean{0.0, 0.0};
  for (const cv::Point2d& p : pressed) mean += p * (1.0 / static_cast<double>(pressed.size()));
  for (std::size_t i = 0; i < flat.size(); ++i) {
    dot += (flat[i] - before.mean).dot(pressed[i] - mean);
    cross += (flat[i] - before.mean).cross(pressed[i] - mean);
  }
  return {std::hypot(dot, cross) / (before.xx + before.yy) - 1.0, 0.0, 0.0};
}

// The best affine map's stretch tensor less one: U - I, where the map is R U with a rotation R.
Strain affine(const std::vector<cv::Point2d>& flat, const std::vector<cv::Point2d>& pressed) {
  const Spread before = spread(flat);
  cv::Point2d mean{0.0, 0.0};
  for (const cv::Point2d& p : pressed) mean += p * (1.0 / static_cast<double>(pressed.size()));
  cv::Matx22d sums = cv::Matx22d::zeros();
  for (std::size_t i = 0; i < flat.size(); ++i) {
    const cv::Point2d f = flat[i] - before.mean, p = pressed[i] - mean;
    sums += cv::Matx22d(p.x * f.x, p.x * f.y, p.y * f.x, p.y * f.y);
  }
  const cv::Matx22d inertia(before.xx, before.xy, before.xy, before.yy);
  const cv::Matx22d map = sums * inertia.inv();
  // Polar decomposition in the plane: R turns by the angle that makes R^T map symmetric.
  const double angle_rad = std::atan2(map(1, 0) - map(0, 1), map(0, 0) + map(1, 1));
  const double c = std::cos(angle_rad), s = std::sin(angle_rad);
  const cv::Matx22d u = cv::Matx22d(c, s, -s, c) * map;
  return {u(0, 0) - 1.0, u(1, 1) - 1.0, 0.5 * (u(0, 1) + u(1, 0))};
}

// What the strain is made of, moved by one parameter at a time.
class Propagation {
 public:
  Propagation(const std::vector<StretchPoint>& points, const StretchOptions& options)
      : points_(points), options_(options) {
    std::vector<cv::Point2d> design;
    for (const StretchPoint& p : points) {
      design.push_back(p.in_design_mm);
      flat_.push_back(p.flat.in_board_mm);
      pressed_.push_back(p.pressed.in_board_mm);
    }
    // The design's right on the board, as it lay flat.
    if (const vision::RigidFit fit = vision::fit_rigid(design, flat_); fit.status == vision::FitStatus::ok)
      to_design_rad_ = -fit.a_from_b.angle_rad;
    const vision::Pose2 turn{{0.0, 0.0}, to_design_rad_};
    for (cv::Point2d& p : flat_) p = vision::apply(turn, p);
    const Spread s = spread(flat_);
    on_a_line_ = points.size() < 3 || s.smaller() < kOnALine * kOnALine * s.larger();
    line_rad_ = s.angle_rad();
  }

  bool on_a_line() const { return on_a_line_; }
  double line_rad() const { return line_rad_; }
  const std::vector<cv::Point2d>& flat() const { return flat_; }
  Strain value() const { return strain(flat_, pressed_); }

  cv::Matx33d covariance() const {
    const vision::Pose2 turn{{0.0, 0.0}, to_design_rad_};
    cv::Matx33d sum = cv::Matx33d::zeros();
    std::vector<cv::Point2d> flat_way, pressed_way;
    for (const StretchPoint& p : points_) {
      flat_way.push_back(vision::apply(turn, p.flat.per_height));
      pressed_way.push_back(p.pressed.per_height);
    }
    const std::vector<cv::Point2d> none(points_.size());
    add(sum, flat_way, none, options_.height_u_mm);
    add(sum, none, pressed_way, options_.height_u_mm);
    for (std::size_t i = 0; i < points_.size(); ++i) {
      add(sum, only(i, flat_way[i]), none, options_.height_apart_u_mm);
      add(sum, none, only(i, pressed_way[i]), options_.height_apart_u_mm);
      for (const cv::Point2d& way : ways(points_[i].flat.covariance))
        add(sum, only(i, vision::apply(turn, way)), none, 1.0);
      for (const cv::Point2d& way : ways(points_[i].pressed.covariance)) add(sum, none, only(i, way), 1.0);
    }
    const double scale2 = options_.scale_u * options_.scale_u;
    return sum + scale2 * cv::Matx33d(1, on_a_line_ ? 0 : 1, 0, on_a_line_ ? 0 : 1, on_a_line_ ? 0 : 1, 0, 0, 0, 0);
  }

 private:
  Strain strain(const std::vector<cv::Point2d>& flat, const std::vector<cv::Point2d>& pressed) const {
    return on_a_line_ ? along_line(flat, pressed) : affine(flat, pressed);
  }

  std::vector<cv::Point2d> only(std::size_t which, cv::Point2d way) const {
    std::vector<cv::Point2d> all(points_.size());
    all[which] = way;
    return all;
  }

  // Two independent ways that make up a covariance: the columns of its Cholesky factor.
  static std::array<cv::Point2d, 2> ways(const cv::Matx22d& c) {
    const double a = std::sqrt(std::max(0.0, c(0, 0)));
    const double b = a > 0.0 ? c(1, 0) / a : 0.0;
    return {cv::Point2d(a, b), cv::Point2d(0.0, std::sqrt(std::max(0.0, c(1, 1) - b * b)))};
  }

  // The part of a parameter that moves the points along `flat_way` and `pressed_way`, by central differences.
  void add(cv::Matx33d& sum, const std::vector<cv::Point2d>& flat_way, const std::vector<cv::Point2d>& pressed_way,
           double u) const {
    constexpr double kStep = 0.5;
    const auto moved = [&](double by) {
      std::vector<cv::Point2d> flat = flat_, pressed = pressed_;
      for (std::size_t i = 0; i < flat.size(); ++i) flat[i] += by * flat_way[i], pressed[i] += by * pressed_way[i];
      return strain(flat, pressed);
    };
    const Strain by = (moved(kStep) - moved(-kStep)) * (u / (2.0 * kStep));
    sum += by * by.t();
  }

  const std::vector<StretchPoint>& points_;
  const StretchOptions& options_;
  std::vector<cv::Point2d> flat_, pressed_;
  double to_design_rad_ = 0.0, line_rad_ = 0.0;
  bool on_a_line_ = true;
};

// In (-90, 90].
double line_deg(double angle_rad) {
  double deg = std::remainder(angle_rad * vision::kDegPerRad, 180.0);
  return deg <= -90.0 ? deg + 180.0 : deg;
}

void find_base(const std::vector<StretchPoint>& points, Stretch& stretch) {
  for (std::size_t i = 0; i < points.size(); ++i)
    for (std::size_t j = i + 1; j < points.size(); ++j) {
      const double apart = cv::norm(points[j].flat.in_board_mm - points[i].flat.in_board_mm);
      if (!(apart > stretch.base_mm)) continue;
      stretch.base_mm = apart;
      stretch.first = points[i].number;
      stretch.second = points[j].number;
    }
}

// The strain along a direction, and its standard uncertainty with the direction held: to first order the same as with
// the direction following.
std::pair<double, double> along(const Strain& strain, const cv::Matx33d& covariance, double angle_rad) {
  const double c = std::cos(angle_rad), s = std::sin(angle_rad);
  const cv::Vec3d by(c * c, s * s, 2.0 * c * s);
  return {by.dot(strain), std::sqrt(by.dot(covariance * by))};
}

void set_principal(const Strain& strain, const cv::Matx33d& covariance, Stretch& stretch) {
  double angle_rad = 0.5 * std::atan2(2.0 * strain[2], strain[0] - strain[1]);
  if (strain[0] + strain[1] < 0.0) angle_rad += vision::kPi / 2.0;  // the other one is larger in size
  const auto [most, u_most] = along(strain, covariance, angle_rad);
  const auto [least, u_least] = along(strain, covariance, angle_rad + vision::kPi / 2.0);
  stretch.percent = 100.0 * most;
  stretch.u_percent = 200.0 * u_most;
  stretch.across_percent = 100.0 * least;
  stretch.u_across_percent = 200.0 * u_least;
  stretch.direction_deg = line_deg(angle_rad);
  // A shear in the principal directions turns them by shear / (difference of the two strains).
  const double c = std::cos(2.0 * angle_rad), s = std::sin(2.0 * angle_rad);
  const cv::Vec3d shear(-0.5 * s, 0.5 * s, c);
  const double u_shear = std::sqrt(shear.dot(covariance * shear));
  stretch.u_direction_deg = std::min(90.0, 2.0 * u_shear / std::abs(most - least) * vision::kDegPerRad);
}

bool finite(const Stretch& s) { return std::isfinite(s.percent) && std::isfinite(s.u_percent); }

}  // namespace

std::optional<Stretch> stretch_of(const std::vector<StretchPoint>& points, const StretchOptions& options) {
  Stretch stretch;
  find_base(points, stretch);
  if (!(stretch.base_mm >= kLeastBase_mm)) return std::nullopt;
  stretch.stickers = static_cast<int>(points.size());
  const Propagation propagation(points, options);
  const Strain strain = propagation.value();
  const cv::Matx33d covariance = propagation.covariance();
  if (propagation.on_a_line()) {
    stretch.percent = 100.0 * strain[0];
    stretch.u_percent = 200.0 * std::sqrt(covariance(0, 0));
    stretch.direction_deg = line_deg(propagation.line_rad());
  } else {
    set_principal(strain, covariance, stretch);
  }
  return finite(stretch) ? std::optional(stretch) : std::nullopt;
}

StretchVerdict verdict(const Stretch& stretch, double limit_percent) {
  const double across = stretch.across_percent.value_or(0.0);
  const auto one = [&](double percent, double u) {
    const double size = std::abs(percent);
    if (u > limit_percent && !(size - u > limit_percent)) return StretchVerdict::not_told;
    if (!(size > limit_percent)) return StretchVerdict::within;
    return percent > 0.0 ? StretchVerdict::stretched : StretchVerdict::gathered;
  };
  const StretchVerdict main = one(stretch.percent, stretch.u_percent);
  const StretchVerdict other = stretch.across_percent ? one(across, stretch.u_across_percent) : StretchVerdict::within;
  for (const StretchVerdict worst : {StretchVerdict::stretched, StretchVerdict::gathered, StretchVerdict::not_told})
    if (main == worst || other == worst) return worst;
  return StretchVerdict::within;
}

}  // namespace app
