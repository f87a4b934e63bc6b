#include "calib/contour.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "calib/outline_check.h"
#include "vision/rim_model.h"
#include "vision/sampling.h"

namespace calib {
namespace {

constexpr float kNothing = std::numeric_limits<float>::quiet_NaN();

// Mean of neighbouring rows, the last being beside the first.
cv::Mat1f along_mean(const cv::Mat1f& map, int along) {
  if (along <= 0) return map.clone();
  cv::Mat1f mean(map.size(), 0.0F);
  for (int r = 0; r < map.rows; ++r) {
    for (int k = -along; k <= along; ++k) mean.row(r) += map.row(((r + k) % map.rows + map.rows) % map.rows);
    mean.row(r) *= 1.0 / (2 * along + 1);
  }
  return mean;
}

}  // namespace

Contour contour_of(std::vector<cv::Point2d> closed, double spacing_mm, double smooth_mm) {
  if (signed_area(closed) < 0.0) std::reverse(closed.begin(), closed.end());
  const std::vector<cv::Point2d> even = vision::resampled(closed, spacing_mm);
  const int n = static_cast<int>(even.size());
  const int reach = std::max(1, static_cast<int>(std::lround(smooth_mm / spacing_mm)));
  Contour contour;
  contour.reserve(even.size());
  for (int i = 0; i < n; ++i) {
    const cv::Point2d along =
        even[static_cast<size_t>((i + reach) % n)] - even[static_cast<size_t>((i - reach + n) % n)];
    const double length = std::max(cv::norm(along), 1e-9);
    contour.push_back({even[static_cast<size_t>(i)], {along.y / length, -along.x / length}});
  }
  return contour;
}

std::vector<cv::Point2d> shifted(const Contour& contour, double outward_mm) {
  std::vector<cv::Point2d> outline;
  outline.reserve(contour.size());
  for (const ContourPoint& point : contour) outline.push_back(point.at_mm + outward_mm * point.outward);
  return outline;
}

Strip unrolled(const cv::Mat& grey, const vision::PlaneView& view, const Contour& contour, double first_mm,
               double last_mm, double step_mm) {
  const int columns = static_cast<int>(std::lround((last_mm - first_mm) / step_mm)) + 1;
  Strip strip{cv::Mat1f(static_cast<int>(contour.size()), columns, kNothing), first_mm, step_mm};
  for (int r = 0; r < strip.grey.rows; ++r) {
    const ContourPoint& point = contour[static_cast<size_t>(r)];
    const cv::Point2d from = view.image(point.at_mm + first_mm * point.outward);
    const cv::Point2d to = view.image(point.at_mm + last_mm * point.outward);
    const cv::Point2d step = (to - from) * (1.0 / (columns - 1));
    for (int c = 0; c < columns; ++c) {
      const cv::Point2d p = from + static_cast<double>(c) * step;
      if (vision::inside_for_sampling(grey, p.x, p.y)) strip.grey(r, c) = vision::sample_bilinear(grey, p.x, p.y);
    }
  }
  return strip;
}

cv::Mat1f steps_across(const Strip& strip, double smooth_mm, int along) {
  const double sigma = smooth_mm / strip.step_mm;
  const int reach = std::max(1, static_cast<int>(std::ceil(2.5 * sigma)));
  std::vector<float> taps(static_cast<size_t>(2 * reach + 1));
  double answer = 0.0;
  for (int k = -reach; k <= reach; ++k) {
    const double tap = k * std::exp(-0.5 * k * k / (sigma * sigma));
    taps[static_cast<size_t>(k + reach)] = static_cast<float>(tap);
    if (k > 0) answer += tap;
  }
  cv::Mat1f steps(strip.grey.size(), 0.0F);
  for (int r = 0; r < steps.rows; ++r) {
    const float* grey = strip.grey[r];
    for (int c = reach; c + reach < steps.cols; ++c) {
      float sum = 0.0F;
      for (int k = -reach; k <= reach; ++k) sum += taps[static_cast<size_t>(k + reach)] * grey[c + k];
      steps(r, c) = std::isfinite(sum) ? sum / static_cast<float>(answer) : 0.0F;
    }
  }
  return along_mean(steps, along);
}

cv::Mat1f dark_lines(const Strip& strip, int along) {
  constexpr std::array<double, 3> kAsideMm{0.75, 1.1, 1.5};
  const cv::Mat1f grey = along_mean(strip.grey, along);
  cv::Mat1f lines(grey.size(), 0.0F);
  for (const double aside_mm : kAsideMm) {
    const int aside = std::max(1, static_cast<int>(std::lround(aside_mm / strip.step_mm)));
    for (int r = 0; r < grey.rows; ++r) {
      for (int c = aside; c + aside < grey.cols; ++c) {
        const float depth = std::min(grey(r, c - aside), grey(r, c + aside)) - grey(r, c);
        if (depth > lines(r, c)) lines(r, c) = depth;
      }
    }
  }
  return lines;
}

}  // namespace calib
