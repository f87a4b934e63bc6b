#include "vision/rim_edges.h"

#include <algorithm>
#include <cmath>

#include "vision/sampling.h"

namespace vision {
namespace {

constexpr int kMostSamples = 128;
constexpr int kMostTaps = 13;

struct Profile {
  std::array<float, kMostSamples> grey;
  int count = 0;
};

// Derivative of a Gaussian, scaled so that an ideal step of height h answers h at its place.
struct StepFilter {
  std::array<float, kMostTaps> taps{};
  int reach = 0;
  StepFilter(double smooth_mm, double spacing_mm) {
    const double sigma = smooth_mm / spacing_mm;
    reach = std::clamp(static_cast<int>(std::ceil(2.5 * sigma)), 1, kMostTaps / 2);
    double answer = 0.0;
    for (int k = -reach; k <= reach; ++k) {
      const double tap = k * std::exp(-0.5 * k * k / (sigma * sigma));
      taps[static_cast<size_t>(k + reach)] = static_cast<float>(tap);
      if (k > 0) answer += tap;
    }
    for (float& tap : taps) tap = static_cast<float>(tap / answer);
  }
};

// Mean of three neighbouring lines along the normal, a pixel and a bit apart: less noise, hardly more blur.
bool read_profile(const cv::Mat& grey, const PlaneView& view, const OutlinePoint& point, double window_mm,
                  double spacing_mm, Profile& profile) {
  const cv::Point2d from = view.image(point.at_mm - window_mm * point.away);
  const cv::Point2d to = view.image(point.at_mm + window_mm * point.away);
  const cv::Point2d along = to - from;
  const double length = cv::norm(along);
  if (!(length > 1.0)) return false;
  const cv::Point2d across{-along.y / length * 1.3, along.x / length * 1.3};
  for (const cv::Point2d& end : {from + across, from - across, to + across, to - across}) {
    if (!inside_for_sampling(grey, end.x, end.y)) return false;
  }
  profile.count = std::min(kMostSamples, static_cast<int>(std::lround(2.0 * window_mm / spacing_mm)) + 1);
  const cv::Point2d step = along * (1.0 / (profile.count - 1));
  for (int i = 0; i < profile.count; ++i) {
    const cv::Point2d p = from + static_cast<double>(i) * step;
    profile.grey[static_cast<size_t>(i)] =
        (sample_bilinear(grey, p.x, p.y) + sample_bilinear(grey, p.x + across.x, p.y + across.y) +
         sample_bilinear(grey, p.x - across.x, p.y - across.y)) *
        (1.0f / 3.0f);
  }
  return true;
}

// Local extremes of the step answer, the strongest kept when there are too many.
void pick_edges(const Profile& profile, const StepFilter& filter, double window_mm, double least_step,
                RimEdges& found) {
  std::array<float, kMostSamples> answer{};
  const int first = filter.reach, last = profile.count - 1 - filter.reach;
  for (int i = first; i <= last; ++i) {
    float sum = 0.0f;
    for (int k = -filter.reach; k <= filter.reach; ++k) {
      sum += filter.taps[static_cast<size_t>(k + filter.reach)] * profile.grey[static_cast<size_t>(i + k)];
    }
    answer[static_cast<size_t>(i)] = sum;
  }
  const double spacing = 2.0 * window_mm / (profile.count - 1);
  for (int i = first + 1; i < last; ++i) {
    const double here = answer[static_cast<size_t>(i)];
    const double sign = here > 0.0 ? 1.0 : -1.0;
    const double before = sign * answer[static_cast<size_t>(i - 1)], after = sign * answer[static_cast<size_t>(i + 1)];
    const double height = sign * here;
    if (height < least_step || before > height || after >= height) continue;
    const double curve = before - 2.0 * height + after;
    const double sub = curve < -1e-9 ? std::clamp(0.5 * (before - after) / curve, -0.5, 0.5) : 0.0;
    const RimEdge edge{(i + sub) * spacing - window_mm, sign * height};
    if (found.count < static_cast<int>(found.edges.size())) {
      found.edges[static_cast<size_t>(found.count++)] = edge;
    } else {
      RimEdge* weakest =
          std::min_element(found.edges.begin(), found.edges.end(),
                           [](const RimEdge& a, const RimEdge& b) { return std::abs(a.step) < std::abs(b.step); });
      if (std::abs(edge.step) > std::abs(weakest->step)) *weakest = edge;
    }
  }
}

}  // namespace

void find_rim_edges(const cv::Mat& grey, const RimViews& views, const RimModel& model, const RimEdgeOptions& options,
                    std::vector<RimEdges>& found) {
  found.resize(model.points.size());
  // Two thirds of a pixel, so that no detail falls between the samples; wider on long windows.
  const double spacing =
      std::max(0.67 / views.outer.px_per_mm({0.0, 0.0}), 2.0 * options.window_mm / (kMostSamples - 1));
  const StepFilter filter(options.smooth_mm, spacing);
  // The filter's reach is lost at both ends.
  const double window = options.window_mm + filter.reach * spacing;
  Profile profile;
  for (size_t i = 0; i < model.points.size(); ++i) {
    found[i].count = 0;
    found[i].in_frame = read_profile(grey, model.points[i].inner ? views.inner : views.outer, model.points[i], window,
                                     spacing, profile);
    if (found[i].in_frame) pick_edges(profile, filter, window, options.least_step, found[i]);
  }
}

}  // namespace vision
