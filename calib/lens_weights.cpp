#include "calib/lens_weights.h"

#include <algorithm>
#include <cmath>

namespace calib {
namespace {

// Of the square of a distance in the plane whose coordinates have the variance 1.
constexpr double kMedianSquare = 1.3862943611198906;
// Beyond this distance in standard deviations a corner is an outlier: one good corner in 160,000 lies there.
constexpr double kOutlierAt = 4.9;
constexpr double kLeastSigmaPx = 1e-6;  // so that perfect data have weights

struct Seen {
  double square = 0.0, own_variance = 0.0;
};

double median_ratio(const std::vector<Seen>& seen, double extra_variance) {
  std::vector<double> ratios;
  for (const Seen& one : seen)
    ratios.push_back(one.square / (one.own_variance + extra_variance + kLeastSigmaPx * kLeastSigmaPx));
  const auto middle = ratios.begin() + static_cast<std::ptrdiff_t>(ratios.size() / 2);
  std::nth_element(ratios.begin(), middle, ratios.end());
  return *middle / kMedianSquare;
}

// How much a corner counts that lies so far off. Gentle: Cauchy's weight.
double share(double distance, Weighing weighing) {
  if (weighing == Weighing::gentle) return 1.0 / (1.0 + 0.1 * distance * distance);
  return distance <= kOutlierAt ? 1.0 : 0.0;
}

// The variance that, added to every corner's own, makes the typical residual what it should be.
double extra_variance(const std::vector<Seen>& seen) {
  if (median_ratio(seen, 0.0) <= 1.0) return 0.0;
  double low = 0.0, high = 1e-6;
  while (median_ratio(seen, high) > 1.0 && high < 1e6) high *= 4.0;
  for (int i = 0; i < 40; ++i) {
    const double middle = 0.5 * (low + high);
    (median_ratio(seen, middle) > 1.0 ? low : high) = middle;
  }
  return high;
}

}  // namespace

WeighedCorners weigh_corners(const std::vector<LensPicture>& pictures, const LensAndPoses& state, Weighing weighing) {
  std::vector<std::vector<Seen>> seen(pictures.size());
  std::vector<Seen> all;
  for (std::size_t i = 0; i < pictures.size(); ++i) {
    const std::vector<cv::Point2d> left = residuals_px(state.lens, state.camera_from_sheet[i], pictures[i]);
    for (std::size_t k = 0; k < left.size(); ++k) {
      const double sigma_px = pictures[i].sigma_px.empty() ? 0.0 : pictures[i].sigma_px[k];
      seen[i].push_back({left[k].dot(left[k]), sigma_px * sigma_px});
    }
    all.insert(all.end(), seen[i].begin(), seen[i].end());
  }
  WeighedCorners out;
  if (all.empty()) return out;
  const double extra = extra_variance(all);
  // Where the sigmas given are too large, outliers are still told by what is usual.
  const double usual = std::max(1e-12, std::min(1.0, median_ratio(all, extra)));
  out.extra_sigma_px = std::sqrt(extra);
  for (const std::vector<Seen>& corners : seen) {
    out.weights.emplace_back();
    out.distance.emplace_back();
    for (const Seen& corner : corners) {
      const double variance = corner.own_variance + extra + kLeastSigmaPx * kLeastSigmaPx;
      const double distance = std::sqrt(corner.square / (variance * usual));
      out.distance.back().push_back(distance);
      out.weights.back().push_back(share(distance, weighing) / variance);
    }
  }
  return out;
}

}  // namespace calib
