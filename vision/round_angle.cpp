#include "vision/round_angle.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "vision/geometry.h"
#include "vision/sampling.h"

namespace vision {
namespace {

constexpr int kRows = 4;
constexpr double kFirstDepthMm = 0.6, kLastDepthMm = 1.9;
constexpr int kBlock = 20;          // columns that share one rim level, 5 mm
constexpr int kMirrorColumns = 26;  // 6.5 mm to either side take part in the symmetry

// Signal round the whole rim: how strongly each column differs from the rim beside it, 0..1.
std::vector<float> signal_round(const cv::Mat& grey, const PlaneView& view, double radius_mm, int columns) {
  std::vector<float> signal(static_cast<size_t>(columns), 0.0f), row(signal.size()), sorted;
  for (int r = 0; r < kRows; ++r) {
    const double rho = radius_mm + kFirstDepthMm + (kLastDepthMm - kFirstDepthMm) * r / (kRows - 1);
    for (int c = 0; c < columns; ++c) {
      const double phi = 2.0 * kPi * c / columns;
      const cv::Point2d p = view.image({rho * std::cos(phi), rho * std::sin(phi)});
      row[static_cast<size_t>(c)] = inside_for_sampling(grey, p.x, p.y) ? sample_bilinear(grey, p.x, p.y) : 0.0f;
    }
    for (int b = 0; b < columns; b += kBlock) {
      sorted.clear();
      for (int c = b - 2 * kBlock; c < b + 3 * kBlock; ++c) {
        sorted.push_back(row[static_cast<size_t>((c % columns + columns) % columns)]);
      }
      std::sort(sorted.begin(), sorted.end());
      const float level = sorted[sorted.size() / 2];
      // The middle half tells the rim's own scatter whatever notches and fingers do to the rest.
      const float scatter = 0.5f * (sorted[sorted.size() * 3 / 4] - sorted[sorted.size() / 4]);
      const float least = std::max(5.0f, 4.0f * scatter);
      for (int c = b; c < std::min(b + kBlock, columns); ++c) {
        const float deviation = std::abs(row[static_cast<size_t>(c)] - level);
        signal[static_cast<size_t>(c)] += std::clamp(deviation / least - 0.5f, 0.0f, 1.0f) / kRows;
      }
    }
  }
  return signal;
}

}  // namespace

std::optional<double> round_angle(const cv::Mat& grey, const PlaneView& view, const Hoop& hoop) {
  double radius = 0.0;
  for (const cv::Point2d& p : hoop.inner_mm) radius += cv::norm(p) / static_cast<double>(hoop.inner_mm.size());
  const int columns = static_cast<int>(2.0 * kPi * radius / kNotchStepMm);
  if (columns < 8 * kMirrorColumns) return std::nullopt;
  const std::vector<float> signal = signal_round(grey, view, radius, columns);
  const auto at = [&](int c) { return signal[static_cast<size_t>((c % columns + columns) % columns)]; };

  // Mirror symmetry about every column. The root keeps one strong patch, such as a finger, from outvoting four notches.
  std::vector<float> mirror(signal.size());
  for (int c = 0; c < columns; ++c) {
    float sum = 0.5f * at(c) * at(c);
    for (int a = 1; a <= kMirrorColumns; ++a) sum += at(c + a) * at(c - a);
    mirror[static_cast<size_t>(c)] = std::sqrt(sum);
  }
  std::array<int, 4> offsets{};
  for (size_t k = 0; k < 4; ++k) {
    const double phi = std::atan2(hoop.notches[k].at_mm.y, hoop.notches[k].at_mm.x);
    offsets[k] = static_cast<int>(std::lround(phi / (2.0 * kPi) * columns));
  }
  double most = -1.0, total = 0.0;
  int best = 0;
  for (int turn = 0; turn < columns; ++turn) {
    double sum = 0.0;
    for (const int offset : offsets)
      sum += mirror[static_cast<size_t>(((turn + offset) % columns + columns) % columns)];
    total += sum;
    if (sum > most) {
      most = sum;
      best = turn;
    }
  }
  // Two notches at least must stand out of what the rest of the rim gives.
  if (most < 3.0 || most < 4.0 * total / columns) return std::nullopt;
  return wrapped_rad(2.0 * kPi * best / columns);
}

}  // namespace vision
