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
constexpr float kClip = 4.0F;      // spreads of the slopes; what stands out more counts no more: a thread end, a finger
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

void add_turn(const std::vector<Place>& places, int turn, float spread, float least_count, LineMap& map) {
  const double angle = turn * kAngleStepRad;
  const float c = static_cast<float>(std::cos(angle)), s = static_cast<float>(std::sin(angle));
  const float per_bin = static_cast<float>(1.0 / kScanMmPerPx), middle = static_cast<float>(map.bins / 2) + 0.5F;
  const float most = kClip * spread;
  std::vector<float> edge(static_cast<size_t>(map.bins)), ridge(edge), count(edge);
  for (const Place& p : places) {
    const auto bin = static_cast<size_t>((c * p.y - s * p.x) * per_bin + middle);
    edge[bin] += std::clamp(c * p.gy - s * p.gx, -most, most);
    ridge[bin] -= std::clamp(s * s * p.xx - 2.0F * s * c * p.xy + c * c * p.yy, -most, most);
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

bool is_peak(const LineMap& map, const std::vector<float>& means, int turn, int bin) {
  const float here = std::abs(means[map.at(turn, bin)]);
  for (int dt = -kBesideAngles; dt <= kBesideAngles; ++dt) {
    for (int db = -kBesideBins; db <= kBesideBins; ++db) {
      if (dt == 0 && db == 0) continue;
      int t = turn + dt, b = bin + db;
      if (t < 0 || t >= kTurns) {  // half a turn on the same lines have the opposite distance
        t += t < 0 ? kTurns : -kTurns;
        b = 2 * (map.bins / 2) - b;
      }
      if (b < 0 || b >= map.bins) continue;
      const float there = std::abs(means[map.at(t, b)]);
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
      if (!(std::abs(mean) >= least * static_cast<double>(spread)) || !is_peak(map, means, turn, bin)) continue;
      candidates.push_back({kind, turn * kAngleStepRad, (bin - map.bins / 2) * kScanMmPerPx, mean > 0.0F ? 1 : -1,
                            static_cast<double>(std::abs(mean) / spread)});
    }
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
  pick(map, LineKind::edge, options.least_strength, candidates);
  pick(map, LineKind::ridge, options.least_strength, candidates);
  std::sort(candidates.begin(), candidates.end(),
            [](const LineCandidate& a, const LineCandidate& b) { return a.strength > b.strength; });
  if (candidates.size() > static_cast<size_t>(options.most)) candidates.resize(static_cast<size_t>(options.most));
  return candidates;
}

}  // namespace vision
