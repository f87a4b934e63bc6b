#include "vision/line_scan.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>

namespace vision {
namespace {

constexpr double kAngleStepRad = 1.0 * kRadPerDeg;
constexpr int kTurns = 180;        // angle steps in half a turn
constexpr double kSmoothPx = 1.0;  // at kScanMmPerPx
constexpr float kClip = 4.0F;  // spreads of the slopes; what stands out more counts little more: a thread end, a finger
constexpr float kLeastSpread = 0.3F;  // grey levels a mm: the picture's own steps
constexpr int kBesideAngles = 3, kBesideBins = 3;

// What the grey value does at one place of the cloth: slope, and second derivatives; per mm.
struct Place {
  float x, y, gx, gy, xx, xy, yy;
};

float spread_of_slopes(const std::vector<Place>& places) {
  std::vector<float> sizes;
  sizes.reserve(2 * places.size());
  for (const Place& p : places) sizes.push_back(std::abs(p.gx)), sizes.push_back(std::abs(p.gy));
  const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
  std::nth_element(sizes.begin(), middle, sizes.end());
  return std::max(kLeastSpread, 1.4826F * *middle);
}

std::vector<Place> places_of(const ClothPatch& patch) {
  cv::Mat1f small, smooth;
  cv::resize(patch.grey, small, cv::Size(patch.grey.cols / 2, patch.grey.rows / 2), 0.0, 0.0, cv::INTER_AREA);
  cv::GaussianBlur(small, smooth, {}, kSmoothPx);
  std::vector<Place> places;
  const float per_mm = static_cast<float>(0.5 / (2.0 * patch.mm_per_px));
  const float per_mm2 = 4.0F * per_mm * per_mm;
  for (int y = 1; y + 1 < smooth.rows; ++y) {
    const float *above = smooth[y - 1], *here = smooth[y], *below = smooth[y + 1];
    for (int x = 1; x + 1 < smooth.cols; ++x) {
      if (patch.usable(2 * y, 2 * x) == 0 || patch.usable(2 * y + 1, 2 * x + 1) == 0) continue;
      const cv::Point2f at = patch.at(2.0 * x + 0.5, 2.0 * y + 0.5);
      places.push_back({at.x, at.y, (here[x + 1] - here[x - 1]) * per_mm, (above[x] - below[x]) * per_mm,
                        (here[x + 1] - 2.0F * here[x] + here[x - 1]) * per_mm2,
                        (above[x + 1] - above[x - 1] - below[x + 1] + below[x - 1]) * 0.25F * per_mm2,
                        (above[x] - 2.0F * here[x] + below[x]) * per_mm2});
    }
  }
  return places;
}

// For each angle and distance the mean over the line times the root of its length: of equal spread over mere texture.
struct LineMap {
  int bins = 0;
  std::vector<float> edge, ridge;  // kTurns rows
  std::vector<char> looked;        // long enough
  size_t at(int turn, int bin) const { return static_cast<size_t>(turn * bins + bin); }
};

// Grows on slowly beyond the limit, so that of several places beyond it the strongest stays the strongest.
float tempered(float value, float limit) {
  const float size = std::abs(value);
  return size <= limit ? value : std::copysign(limit * (1.0F + std::log(size / limit)), value);
}

void add_turn(const std::vector<Place>& places, int turn, float spread, float least_count, LineMap& map) {
  const double angle = turn * kAngleStepRad;
  const float c = static_cast<float>(std::cos(angle)), s = static_cast<float>(std::sin(angle));
  const float per_bin = static_cast<float>(1.0 / kScanMmPerPx), middle = static_cast<float>(map.bins / 2) + 0.5F;
  const float most = kClip * spread;
  std::vector<float> edge(static_cast<size_t>(map.bins)), ridge(edge), count(edge);
  for (const Place& p : places) {
    const auto bin = static_cast<size_t>((c * p.y - s * p.x) * per_bin + middle);
    edge[bin] += tempered(c * p.gy - s * p.gx, most);
    ridge[bin] -= tempered(s * s * p.xx - 2.0F * s * c * p.xy + c * c * p.yy, most);
    count[bin] += 1.0F;
  }
  for (int bin = 0; bin < map.bins; ++bin) {
    const auto b = static_cast<size_t>(bin);
    if (count[b] < least_count) continue;
    const float root = 1.0F / std::sqrt(count[b]);
    map.edge[map.at(turn, bin)] = edge[b] * root;
    map.ridge[map.at(turn, bin)] = ridge[b] * root;
    map.looked[map.at(turn, bin)] = 1;
  }
}

// Robust, since the lines themselves are among them.
float spread_of(const std::vector<float>& means, const std::vector<char>& looked) {
  std::vector<float> sizes;
  for (size_t i = 0; i < means.size(); ++i)
    if (looked[i] != 0) sizes.push_back(std::abs(means[i]));
  if (sizes.empty()) return 1.0F;
  const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
  std::nth_element(sizes.begin(), middle, sizes.end());
  return std::max(1e-3F, 1.4826F * *middle);
}

// Among its neighbours of the same sign.
bool is_peak(const LineMap& map, const std::vector<float>& means, LineKind kind, int turn, int bin) {
  const float here = std::abs(means[map.at(turn, bin)]), sign = means[map.at(turn, bin)] < 0.0F ? -1.0F : 1.0F;
  for (int dt = -kBesideAngles; dt <= kBesideAngles; ++dt) {
    for (int db = -kBesideBins; db <= kBesideBins; ++db) {
      if (dt == 0 && db == 0) continue;
      int t = turn + dt, b = bin + db;
      float same = sign;
      if (t < 0 || t >= kTurns) {  // half a turn on the same lines have the opposite distance
        t += t < 0 ? kTurns : -kTurns;
        b = 2 * (map.bins / 2) - b;
        if (kind == LineKind::edge) same = -same;
      }
      if (b < 0 || b >= map.bins) continue;
      const float there = same * means[map.at(t, b)];
      if (there > here || (there == here && (dt < 0 || (dt == 0 && db < 0)))) return false;
    }
  }
  return true;
}

void pick(const LineMap& map, LineKind kind, double least, std::vector<LineCandidate>& candidates) {
  const std::vector<float>& means = kind == LineKind::edge ? map.edge : map.ridge;
  const float spread = spread_of(means, map.looked);
  for (int turn = 0; turn < kTurns; ++turn)
    for (int bin = 0; bin < map.bins; ++bin) {
      const float mean = means[map.at(turn, bin)];
      if (!(std::abs(mean) >= least * static_cast<double>(spread)) || !is_peak(map, means, kind, turn, bin)) continue;
      candidates.push_back({kind, turn * kAngleStepRad, (bin - map.bins / 2) * kScanMmPerPx, mean > 0.0F ? 1 : -1,
                            static_cast<double>(std::abs(mean) / spread)});
    }
}

// A strong line answers faintly all about it, where others cross it at a small angle.
bool is_shadow_of(const LineCandidate& faint, const LineCandidate& strong, double reach_mm) {
  constexpr double kFanRad = 12.0 * kRadPerDeg, kShare = 0.6;
  const double turn = std::remainder(faint.angle_rad - strong.angle_rad, kPi);
  if (faint.kind != strong.kind || std::abs(turn) > kFanRad || faint.strength > kShare * strong.strength) return false;
  // Where the strong line's ends lie from the faint one: on both sides of it, or close by.
  const double c = std::cos(faint.angle_rad), s = std::sin(faint.angle_rad);
  const cv::Point2d u(std::cos(strong.angle_rad), std::sin(strong.angle_rad)), foot(-u.y, u.x);
  const auto off = [&](double t) {
    const cv::Point2d p = strong.distance_mm * foot + t * u;
    return c * p.y - s * p.x - faint.distance_mm;
  };
  return off(-reach_mm) * off(reach_mm) <= 0.0 || std::min(std::abs(off(-reach_mm)), std::abs(off(reach_mm))) < 2.0;
}

void thin_out(std::vector<LineCandidate>& candidates, double reach_mm, int most) {
  std::sort(candidates.begin(), candidates.end(),
            [](const LineCandidate& a, const LineCandidate& b) { return a.strength > b.strength; });
  std::vector<LineCandidate> kept;
  for (const LineCandidate& one : candidates) {
    if (kept.size() >= static_cast<size_t>(most)) break;
    if (std::none_of(kept.begin(), kept.end(), [&](const auto& k) { return is_shadow_of(one, k, reach_mm); }))
      kept.push_back(one);
  }
  candidates = std::move(kept);
}

}  // namespace

std::vector<LineCandidate> scan_lines(const ClothPatch& patch, const ScanOptions& options) {
  std::vector<LineCandidate> candidates;
  const std::vector<Place> places = places_of(patch);
  if (places.empty()) return candidates;
  float reach = 0.0F;
  for (const Place& p : places) reach = std::max(reach, std::hypot(p.x, p.y));
  LineMap map;
  map.bins = 2 * (static_cast<int>(static_cast<double>(reach) / kScanMmPerPx) + 2) + 1;
  map.edge.resize(static_cast<size_t>(kTurns * map.bins));
  map.ridge.resize(map.edge.size());
  map.looked.resize(map.edge.size());
  const float spread = spread_of_slopes(places);
  for (int turn = 0; turn < kTurns; ++turn) {
    // Directions are the same after half a turn.
    const double off = std::remainder(turn * kAngleStepRad - options.middle_rad, kPi);
    if (std::abs(off) <= options.reach_rad + 0.5 * kAngleStepRad)
      add_turn(places, turn, spread, static_cast<float>(options.least_length_mm / kScanMmPerPx), map);
  }
  for (const LineKind kind : {LineKind::edge, LineKind::ridge}) {
    std::vector<LineCandidate> of_kind;
    pick(map, kind, options.least_strength, of_kind);
    thin_out(of_kind, static_cast<double>(reach), options.most);
    candidates.insert(candidates.end(), of_kind.begin(), of_kind.end());
  }
  return candidates;
}

}  // namespace vision
