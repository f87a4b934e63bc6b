#include "vision/notches.h"

#include <algorithm>
#include <cmath>

#include "vision/rim_model.h"
#include "vision/sampling.h"

namespace vision {
namespace {

constexpr int kRows = 7;
constexpr double kFirstDepthMm = 0.55;  // the bevel's shading ends about here
constexpr double kRestFromMm = 6.5;     // beyond this a notch does not reach: the rim itself
using Row = std::array<float, kNotchColumns>;

struct Patch {
  std::array<Row, kRows> grey;
};

bool read_patch(const cv::Mat& grey, const PlaneView& view, const NotchSite& site, Patch& patch) {
  const double last = site.depth_mm;
  for (size_t c = 0; c < kNotchColumns; ++c) {
    const RimPlace& place = site.places[c];
    const cv::Point2d from = view.image(place.at_mm + kFirstDepthMm * place.outward);
    const cv::Point2d to = view.image(place.at_mm + last * place.outward);
    if (!inside_for_sampling(grey, from.x, from.y) || !inside_for_sampling(grey, to.x, to.y)) return false;
    const cv::Point2d step = (to - from) * (1.0 / (kRows - 1));
    for (size_t r = 0; r < kRows; ++r) {
      const cv::Point2d p = from + static_cast<double>(r) * step;
      patch.grey[r][c] = sample_bilinear(grey, p.x, p.y);
    }
  }
  return true;
}

constexpr size_t kRestColumns = static_cast<size_t>((10.0 - kRestFromMm) / kNotchStepMm);

float median_of(const float* from, size_t n) {
  std::array<float, kRestColumns> copy{};
  std::copy_n(from, n, copy.begin());
  std::nth_element(copy.begin(), copy.begin() + static_cast<long>(n / 2), copy.begin() + static_cast<long>(n));
  return copy[n / 2];
}

// Deviation from the rim's own level, a straight line from the median of one end to that of the other, row by row.
// Returns the scatter of the ends about that line: sensor noise and the rim's texture.
double subtract_rim(Patch& patch) {
  double sum = 0.0;
  const double middle_of_ends = 10.0 - 0.5 * (10.0 - kRestFromMm);
  for (Row& row : patch.grey) {
    const float left = median_of(row.data(), kRestColumns);
    const float right = median_of(row.data() + kNotchColumns - kRestColumns, kRestColumns);
    for (size_t c = 0; c < kNotchColumns; ++c) {
      const double t = (static_cast<double>(c) - kNotchHalfColumns) * kNotchStepMm;
      const double rim = 0.5 * (left + right) + 0.5 * (right - left) * t / middle_of_ends;
      row[c] = std::abs(row[c] - static_cast<float>(rim));
    }
    for (size_t c = 0; c < kRestColumns; ++c) sum += row[c] + row[kNotchColumns - 1 - c];
  }
  return sum / (2.0 * kRestColumns * kRows);
}

// How strongly each column differs from the rim, each pixel saturated at `cap`; 0..kRows.
Row column_signal(const Patch& patch, float cap, float noise) {
  Row raw{}, smooth{};
  for (const Row& row : patch.grey) {
    for (size_t c = 0; c < kNotchColumns; ++c) raw[c] += std::clamp((row[c] - noise) / (cap - noise), 0.0f, 1.0f);
  }
  for (size_t c = 1; c + 1 < kNotchColumns; ++c) smooth[c] = 0.25f * raw[c - 1] + 0.5f * raw[c] + 0.25f * raw[c + 1];
  return smooth;
}

// Mirror symmetry about column c2 / 2: the product of both sides, summed.
double symmetry(const Row& s, int c2) {
  double sum = 0.0;
  const int low = std::max(0, c2 - (kNotchColumns - 1)), high = std::min(c2, kNotchColumns - 1);
  for (int a = low; a <= high; ++a) sum += s[static_cast<size_t>(a)] * s[static_cast<size_t>(c2 - a)];
  return sum;
}

// Number of humps that rise above half of the highest and are parted by a dip below a third of it.
int count_humps(const Row& s, float peak) {
  int humps = 0;
  bool inside = false;
  for (const float v : s) {
    if (!inside && v > 0.5f * peak) {
      inside = true;
      ++humps;
    } else if (inside && v < 0.33f * peak) {
      inside = false;
    }
  }
  return humps;
}

// Grooves about the middle of symmetry: one stands on it, two stand beside it. Where the signal is too faint for
// either, 0.
int count_teeth(const Row& s, double middle_column, float peak) {
  const int humps = count_humps(s, peak);
  if (humps > 2) return humps;
  const int middle = static_cast<int>(std::lround(middle_column));
  constexpr int kNear = 2, kBeside = 5, kFar = 20;  // columns of a quarter of a millimetre
  float at_middle = 0.0f, left = 0.0f, right = 0.0f;
  for (int d = 0; d <= kFar; ++d) {
    const float l = middle - d >= 0 ? s[static_cast<size_t>(middle - d)] : 0.0f;
    const float r = middle + d < kNotchColumns ? s[static_cast<size_t>(middle + d)] : 0.0f;
    if (d <= kNear) at_middle += 0.5f * (l + r) / (kNear + 1);
    if (d < kBeside) continue;
    left = std::max(left, l);
    right = std::max(right, r);
  }
  if (at_middle >= 0.9f * std::max(left, right)) return 1;
  return at_middle <= 0.65f * std::min(left, right) ? 2 : 0;
}

double extent_mm(const Row& s, float peak) {
  int first = kNotchColumns, last = -1;
  for (int c = 0; c < kNotchColumns; ++c) {
    if (s[static_cast<size_t>(c)] < 0.4f * peak) continue;
    first = std::min(first, c);
    last = c;
  }
  return (last - first) * kNotchStepMm;
}

}  // namespace

std::array<NotchSite, 4> notch_sites(const Hoop& hoop) {
  std::array<NotchSite, 4> sites;
  const std::vector<cv::Point2d> fine = resampled(hoop.inner_mm, kNotchStepMm);
  const int n = static_cast<int>(fine.size());
  const auto at = [&](int i) { return fine[static_cast<size_t>(((i % n) + n) % n)]; };
  for (size_t k = 0; k < 4; ++k) {
    const auto nearest = std::min_element(fine.begin(), fine.end(), [&](cv::Point2d a, cv::Point2d b) {
      return cv::norm(a - hoop.notches[k].at_mm) < cv::norm(b - hoop.notches[k].at_mm);
    });
    const int middle = static_cast<int>(nearest - fine.begin());
    double width = 1e9;
    for (const cv::Point2d& p : hoop.outer_mm) width = std::min(width, cv::norm(p - hoop.notches[k].at_mm));
    // Not beyond the middle of the face, where the outer bevel's shading would pass for a groove.
    sites[k].depth_mm = std::clamp(0.62 * width, 1.2, 2.6);
    const cv::Point2d slip = hoop.notches[k].at_mm - *nearest;  // the samples need not fall on the notch itself
    for (int c = 0; c < kNotchColumns; ++c) {
      const int i = middle + c - kNotchHalfColumns;
      const cv::Point2d along = at(i + 8) - at(i - 8);
      const double length = std::max(cv::norm(along), 1e-9);
      sites[k].places[static_cast<size_t>(c)] = {at(i) + slip, {along.y / length, -along.x / length}};
    }
  }
  return sites;
}

FoundNotch find_notch(const cv::Mat& grey, const PlaneView& view, const NotchSite& site, double reach_mm) {
  FoundNotch outcome;
  Patch patch;
  if (!read_patch(grey, view, site, patch)) return outcome;
  outcome.looked = true;
  const double noise = subtract_rim(patch);
  float deepest = 0.0f;
  for (const Row& row : patch.grey) deepest = std::max(deepest, *std::max_element(row.begin(), row.end()));
  const float least = static_cast<float>(std::max(6.0, 5.0 * noise));
  if (deepest < least) {
    outcome.clear_rim = noise < 4.0;
    return outcome;
  }
  const Row signal = column_signal(patch, std::max(least, 0.4f * deepest), static_cast<float>(noise));
  const float peak = *std::max_element(signal.begin(), signal.end());
  const double extent = extent_mm(signal, peak);
  if (peak < 1.2f || extent > 13.0) return outcome;

  const int reach = 2 * static_cast<int>(std::lround(reach_mm / kNotchStepMm));
  int best = 2 * kNotchHalfColumns;
  double most = -1.0;
  for (int c2 = 2 * kNotchHalfColumns - reach; c2 <= 2 * kNotchHalfColumns + reach; ++c2) {
    const double value = symmetry(signal, c2);
    if (value > most) {
      most = value;
      best = c2;
    }
  }
  double energy = 0.0;
  for (const float v : signal) energy += v * v;
  const double likeness = most / std::max(energy, 1e-9);  // 1 for a perfect mirror image
  if (std::abs(best - 2 * kNotchHalfColumns) == reach || likeness < 0.75) return outcome;
  const double before = symmetry(signal, best - 1), after = symmetry(signal, best + 1);
  const double curve = before - 2.0 * most + after;
  const double sub = curve < -1e-9 ? std::clamp(0.5 * (before - after) / curve, -0.5, 0.5) : 0.0;
  outcome.found = true;
  outcome.shift_mm = (0.5 * (best + sub) - kNotchHalfColumns) * kNotchStepMm;
  outcome.teeth = count_teeth(signal, 0.5 * (best + sub), peak);
  // Shaded faces pull the middle by about a tenth of a millimetre.
  outcome.sigma_mm = 0.09 + 0.4 * (1.0 - likeness);
  return outcome;
}

}  // namespace vision
