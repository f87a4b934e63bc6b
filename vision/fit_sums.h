// What the planar fits share: the check of their input and the weighted moments of a set of points.
#pragma once

#include <algorithm>
#include <cmath>

#include "vision/fits.h"

namespace vision {

inline double weight(Weights weights, std::size_t i) { return weights.empty() ? 1.0 : weights[i]; }

// ok, not_finite or too_few_points; points of weight 0 don't count.
inline FitStatus checked(Points points, Weights weights, int needed) {
  if (!weights.empty() && weights.size() != points.size()) return FitStatus::not_finite;
  int count = 0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const double w = weight(weights, i);
    if (!std::isfinite(points[i].x) || !std::isfinite(points[i].y) || !std::isfinite(w) || w < 0.0)
      return FitStatus::not_finite;
    if (w > 0.0) ++count;
  }
  return count < needed ? FitStatus::too_few_points : FitStatus::ok;
}

// Weighted second moments about the weighted centre.
struct Spread {
  int count = 0;  // of positive weight
  double sum_w = 0.0;
  cv::Point2d centre;
  double xx = 0.0, xy = 0.0, yy = 0.0;
  double farthest = 0.0;  // greatest distance of a coordinate from 0

  double major() const { return 0.5 * (xx + yy + std::hypot(xx - yy, 2.0 * xy)); }
  double minor() const { return 0.5 * (xx + yy - std::hypot(xx - yy, 2.0 * xy)); }
  // Below this a moment is rounding of the coordinates and no extent.
  double smallest() const { return sum_w * std::pow(1e-12 * farthest, 2); }
};

inline Spread spread_of(Points points, Weights weights) {
  Spread s;
  cv::Point2d sum{0.0, 0.0};
  for (std::size_t i = 0; i < points.size(); ++i) {
    const double w = weight(weights, i);
    if (w > 0.0) ++s.count;
    s.sum_w += w;
    sum += w * points[i];
    s.farthest = std::max({s.farthest, std::abs(points[i].x), std::abs(points[i].y)});
  }
  s.centre = sum / s.sum_w;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const double w = weight(weights, i);
    const cv::Point2d d = points[i] - s.centre;
    s.xx += w * d.x * d.x;
    s.xy += w * d.x * d.y;
    s.yy += w * d.y * d.y;
  }
  return s;
}

inline double sigma_of(double residual_ss, int degrees_of_freedom) {
  return degrees_of_freedom > 0 ? std::sqrt(residual_ss / degrees_of_freedom) : 0.0;
}

}  // namespace vision
