#include "vision/tag_band.h"

#include <algorithm>
#include <cmath>

namespace vision {
namespace {

constexpr int kLeastSamples = 6;
// In standard deviations of the blur: how far the band reaches, and how much of a side's ends is left out.
constexpr double kReach = 2.8, kEnds = 1.2;
// Blur that stays away from the bits behind the ring, in modules.
constexpr double kSharp = 0.15;
// Beyond so many standard deviations nothing leaks.
constexpr float kFar = 2.7F;

std::size_t size(int n) { return static_cast<std::size_t>(n); }

// The normal distribution by table.
class NormalTable {
 public:
  NormalTable() {
    for (int i = 0; i <= kEntries; ++i)
      value_[size(i)] = static_cast<float>(0.5 * std::erfc(-(i - kEntries / 2) / (kPerUnit * std::sqrt(2.0))));
  }
  BlurredStep at(float z) const {
    const float place = std::clamp(z * static_cast<float>(kPerUnit) + kEntries / 2, 0.0F, kEntries - 1.0F);
    const int i = static_cast<int>(place);
    const float rise = value_[size(i) + 1] - value_[size(i)];
    return {value_[size(i)] + (place - static_cast<float>(i)) * rise, rise * static_cast<float>(kPerUnit)};
  }

 private:
  static constexpr double kPerUnit = 32.0;
  static constexpr int kEntries = 320;  // -5 to 5
  std::array<float, kEntries + 1> value_{};
};

// How white the modules behind the ring are, blurred along the side; by place in modules from its start.
class BitsBehind {
 public:
  BitsBehind(const std::array<bool, 6>& white, double blur_modules) {
    const auto per_blur = static_cast<float>(1.0 / blur_modules);
    for (int i = 0; i <= kEntries; ++i) {
      const float place = static_cast<float>(i) / kPerModule;
      for (int j = 0; j < 6; ++j) {
        if (!white[size(j)]) continue;
        const float from = static_cast<float>(j + 1) - place;
        value_[size(i)] += blurred_step((from + 1.0F) * per_blur).value - blurred_step(from * per_blur).value;
      }
    }
  }
  float at(float place_modules) const {
    const float place = std::clamp(place_modules * kPerModule, 0.0F, kEntries - 0.001F);
    const int i = static_cast<int>(place);
    return value_[size(i)] + (place - static_cast<float>(i)) * (value_[size(i) + 1] - value_[size(i)]);
  }

 private:
  static constexpr float kPerModule = 6.0F;
  static constexpr int kEntries = 48;
  std::array<float, kEntries + 1> value_{};
};

}  // namespace

BlurredStep blurred_step(float z) {
  static const NormalTable table;
  return table.at(z);
}

bool SideBand::gather(const cv::Mat& grey, const Lens& lens, const SideLine& line, double blur_px, int most_samples) {
  const cv::Point2d chord = line.end_px - line.start_px;
  const double length = cv::norm(chord), ring = line.module_px;
  if (!(length > 8.0) || !(ring > 1.0)) return false;
  // Inside, the ring is one module wide. Outside, the white may be as narrow, and what lies beyond is unknown.
  const double inner = std::clamp(kReach * blur_px, std::min(1.8, 0.85 * ring), 0.85 * ring);
  const double outer = std::min(inner, std::max({ring - 1.8 * blur_px, 1.5 * blur_px, 1.5}));
  module = static_cast<float>(ring);
  innermost = static_cast<float>(-inner);
  outermost = static_cast<float>(outer);

  // Along: the axis nearer to the side's direction, in whole pixels; across: the other.
  const bool along_x = std::abs(chord.x) >= std::abs(chord.y);
  const double run = along_x ? chord.x : chord.y, rise = along_x ? chord.y : chord.x;
  const double start = along_x ? line.start_px.x : line.start_px.y;
  const double slope = rise / run;
  const double outward = (along_x ? -chord.x : chord.y) / length;  // of the outward normal (chord.y, -chord.x) / length
  const auto row_step = static_cast<std::ptrdiff_t>(grey.step[0]);
  const std::ptrdiff_t step_along = along_x ? 1 : row_step, step_across = along_x ? row_step : 1;
  const int most_along = (along_x ? grey.cols : grey.rows) - 1, most_across = (along_x ? grey.rows : grey.cols) - 1;

  const double slant = std::abs(rise) / length;
  const double trim = (kEnds * blur_px + 0.5 * inner * slant) * std::abs(run) / length;
  const int begin = static_cast<int>(std::ceil(std::min(start, start + run) + trim));
  const int end = static_cast<int>(std::floor(std::max(start, start + run) - trim));
  const int stride = std::max(1, (end - begin + most_samples) / most_samples);
  const double reach_in = (inner + 0.5) / std::abs(outward), reach_out = (outer + 0.5) / std::abs(outward);
  const double reach_back = outward > 0.0 ? reach_in : reach_out;
  pitch = static_cast<float>(outward);
  across = std::min(static_cast<int>(reach_in + reach_out) + 1, kMostAcross);
  samples = looked_at = 0;
  for (int place = begin; place <= end && looked_at < kMostSamples; place += stride) {
    ++looked_at;
    const double t = (place - start) / run;
    const cv::Point2d n = distort(lens, line.start + (line.end - line.start) * t);
    const double px = lens.fx * n.x + lens.cx, py = lens.fy * n.y + lens.cy;
    const double centre = along_x ? py + slope * (place - px) : px + slope * (place - py);
    const int from = static_cast<int>(std::ceil(centre - reach_back));
    if (place < 0 || place > most_along || from < 0 || from + across - 1 > most_across) continue;
    along[size(samples)] = static_cast<float>(2.0 * t - 1.0);
    first[size(samples)] = static_cast<float>((from - centre) * outward);
    const std::uint8_t* in = grey.data + place * step_along + from * step_across;
    for (int i = 0; i < across; ++i) level[size(i)][size(samples)] = static_cast<float>(in[i * step_across]);
    ++samples;
  }
  if (samples < kLeastSamples || 2 * samples < looked_at) return false;
  find_leaks(line, length, rise / length / outward, blur_px);
  return true;
}

// A pixel's foot is where its normal meets the side, px from the start; it moves by foot_per_distance with a pixel's
// distance, because columns are not square to a slanted side.
void SideBand::find_leaks(const SideLine& line, double length, double foot_per_distance, double blur_px) {
  const auto per_blur = static_cast<float>(1.0 / blur_px), whole = static_cast<float>(length);
  const auto foot_slope = static_cast<float>(foot_per_distance);
  const bool bits_leak = blur_px > kSharp * line.module_px;
  const BitsBehind bits(bits_leak ? line.white_inside : std::array<bool, 6>{}, 8.0 * blur_px / length);
  const float modules_per_px = 8.0F / whole;
  for (std::size_t i = 0; i < size(across); ++i)
    for (Row* row : {&leak[i], &leak_by_offset[i], &leak_by_blur[i]}) std::fill_n(row->begin(), samples, 0.0F);
  for (std::size_t k = 0; k < size(samples); ++k) {
    const float middle = 0.5F * (along[k] + 1.0F) * whole;
    const float span = std::abs(foot_slope) * std::max(-innermost, outermost) + kFar / per_blur;
    const bool near_end = std::min(middle, whole - middle) < span;
    if (!near_end && !bits_leak) continue;
    for (std::size_t i = 0; i < size(across); ++i) {
      const float u = first[k] + static_cast<float>(i) * pitch, z = u * per_blur;
      const float foot = middle + u * foot_slope;
      const float past_ring = (-module - u) * per_blur;
      if (bits_leak && past_ring > -kFar) {
        const float white = bits.at(foot * modules_per_px);
        const BlurredStep ring = blurred_step(past_ring);
        leak[i][k] += white * ring.value;
        leak_by_offset[i][k] += white * ring.slope * per_blur;
        leak_by_blur[i][k] -= white * ring.slope * past_ring * per_blur;
      }
      const float to_end = std::min(foot, whole - foot) * per_blur;
      if (to_end < kFar) {
        const BlurredStep corner = blurred_step(-to_end), edge = blurred_step(-z);
        leak[i][k] += corner.value * edge.value;
        leak_by_offset[i][k] += corner.value * edge.slope * per_blur;
        leak_by_blur[i][k] += (corner.slope * to_end * edge.value + corner.value * edge.slope * z) * per_blur;
      }
    }
  }
}

}  // namespace vision
