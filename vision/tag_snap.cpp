#include "vision/tag_snap.h"

#include <algorithm>
#include <cmath>

#include "vision/sampling.h"

namespace vision {
namespace {

constexpr int kPlaces = 12;          // looked at along a side
constexpr int kAgree = 7;            // of them on one line
constexpr double kAgreeSteps = 0.8;  // how near to it
constexpr int kMostSteps = 64;       // of 1 px, or longer where the reach asks for it

// The steepest rise along a stretch, as an offset from its middle in steps; and how steep, grey levels a step.
struct Rise {
  double along = 0.0, offset = 0.0;
  float steepness = 0.0F;
};

Rise steepest_rise(const std::array<float, kMostSteps>& levels, int count) {
  Rise best;
  const auto slope = [&](int i) {
    return levels[static_cast<std::size_t>(i + 1)] - levels[static_cast<std::size_t>(i - 1)];
  };
  for (int i = 1; i + 1 < count; ++i) {
    const float s = slope(i);
    if (!(s > best.steepness)) continue;
    best.steepness = s;
    best.offset = i - 0.5 * (count - 1);
    if (i < 2 || i + 2 >= count) continue;
    const float before = slope(i - 1), after = slope(i + 1), bend = before - 2.0F * s + after;
    if (bend < 0.0F) best.offset += std::clamp(0.5 * (before - after) / bend, -0.5, 0.5);
  }
  return best;
}

// The line offset(along) that most of the rises agree on, then least squares through those. False without one.
bool agreed_line(const std::array<Rise, kPlaces>& rises, double& at_start, double& at_end) {
  int most = 0;
  double best_a = 0.0, best_b = 0.0;
  float best_steepness = 0.0F;
  for (std::size_t i = 0; i < kPlaces; ++i) {
    for (std::size_t j = i + 2; j < kPlaces; ++j) {
      const double b = (rises[j].offset - rises[i].offset) / (rises[j].along - rises[i].along);
      const double a = rises[i].offset - b * rises[i].along;
      int agree = 0;
      float steepness = 0.0F;
      for (const Rise& rise : rises) {
        if (!(std::abs(a + b * rise.along - rise.offset) <= kAgreeSteps)) continue;
        ++agree;
        steepness += rise.steepness;
      }
      if (agree < most || (agree == most && !(steepness > best_steepness))) continue;
      most = agree;
      best_steepness = steepness;
      best_a = a;
      best_b = b;
    }
  }
  if (most < kAgree) return false;
  double n = 0, sx = 0, sy = 0, sxx = 0, sxy = 0;
  for (const Rise& rise : rises) {
    if (!(std::abs(best_a + best_b * rise.along - rise.offset) <= kAgreeSteps)) continue;
    n += 1;
    sx += rise.along;
    sy += rise.offset;
    sxx += rise.along * rise.along;
    sxy += rise.along * rise.offset;
  }
  const double slope = (n * sxy - sx * sy) / (n * sxx - sx * sx);
  at_start = (sy - slope * sx) / n;
  at_end = at_start + slope;
  return std::isfinite(slope);
}

// Moves one side; false without an edge.
bool snap_side(const cv::Mat& grey, cv::Point2d& from, cv::Point2d& to, double reach_px) {
  const cv::Point2d along = to - from;
  const double length = cv::norm(along);
  if (!(length >= 6.0)) return false;
  const double step_px = std::max(1.0, 2.0 * (reach_px + 2.0) / (kMostSteps - 1));
  const int reach = static_cast<int>(std::ceil(reach_px / step_px));
  const int count = std::min(2 * reach + 3, kMostSteps);
  const cv::Point2d out = cv::Point2d{along.y, -along.x} * (step_px / length);
  std::array<Rise, kPlaces> rises;
  std::array<float, kMostSteps> levels{};
  for (std::size_t i = 0; i < kPlaces; ++i) {
    const double t = 0.1 + 0.8 * static_cast<double>(i) / (kPlaces - 1);
    const cv::Point2d first = from + along * t - out * (0.5 * (count - 1)), last = first + out * (count - 1.0);
    const auto outside = [&grey](cv::Point2d p) {
      return !(p.x >= 0.0 && p.y >= 0.0 && p.x < grey.cols - 1.0 && p.y < grey.rows - 1.0);
    };
    if (outside(first) || outside(last)) {
      rises[i] = {t, 1e6 * (i % 2 == 0 ? 1.0 : -1.0), 0.0F};  // agrees with nothing
      continue;
    }
    for (int k = 0; k < count; ++k)
      levels[static_cast<std::size_t>(k)] = sample_bilinear(grey, first.x + out.x * k, first.y + out.y * k);
    rises[i] = steepest_rise(levels, count);
    rises[i].along = t;
  }
  double at_start = 0.0, at_end = 0.0;
  if (!agreed_line(rises, at_start, at_end)) return false;
  from += out * at_start;
  to += out * at_end;
  return true;
}

}  // namespace

cv::Point2d line_crossing(cv::Point2d a, cv::Point2d b, cv::Point2d c, cv::Point2d d) {
  const cv::Point2d r = b - a, s = d - c;
  const double t = (c - a).cross(s) / r.cross(s);
  return std::isfinite(t) ? a + r * t : cv::Point2d{NAN, NAN};
}

bool snap_sides(const cv::Mat& grey, Quad& quad, double reach_px) {
  std::array<std::array<cv::Point2d, 2>, 4> sides;
  for (std::size_t i = 0; i < 4; ++i) {
    sides[i] = {quad[i], quad[(i + 1) % 4]};
    if (!snap_side(grey, sides[i][0], sides[i][1], reach_px)) return false;
  }
  for (std::size_t i = 0; i < 4; ++i) {
    const auto& before = sides[(i + 3) % 4];
    quad[i] = line_crossing(before[0], before[1], sides[i][0], sides[i][1]);
    if (!std::isfinite(quad[i].x) || !std::isfinite(quad[i].y)) return false;
  }
  return true;
}

}  // namespace vision
