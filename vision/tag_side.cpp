#include "vision/tag_side.h"

#include <algorithm>
#include <cmath>

#include "vision/small_solve.h"

namespace vision {
namespace {

constexpr double kLeastBlurPx = 0.35, kMostBlurPx = 5.0;
constexpr float kLeastContrast = 8.0F;  // grey levels
constexpr int kLeastSamples = 6;
constexpr int kSteps = 3;

std::size_t size(int n) { return static_cast<std::size_t>(n); }

// The blurred step and its slope, by table.
class Step {
 public:
  Step() {
    for (int i = 0; i <= kEntries; ++i) {
      const double z = (i - kEntries / 2) / kPerUnit;
      value_[size(i)] = static_cast<float>(0.5 * std::erfc(-z / std::sqrt(2.0)));
      slope_[size(i)] = static_cast<float>(std::exp(-0.5 * z * z) / std::sqrt(2.0 * 3.14159265358979323846));
    }
  }
  void at(float z, float& value, float& slope) const {
    const float place = std::clamp(z * static_cast<float>(kPerUnit) + kEntries / 2, 0.0F, kEntries - 1.0F);
    const int i = static_cast<int>(place);
    const float part = place - static_cast<float>(i);
    value = value_[size(i)] + part * (value_[size(i) + 1] - value_[size(i)]);
    slope = slope_[size(i)] + part * (slope_[size(i) + 1] - slope_[size(i)]);
  }

 private:
  static constexpr double kPerUnit = 32.0;
  static constexpr int kEntries = 320;  // -5 to 5
  std::array<float, kEntries + 1> value_{}, slope_{};
};

const Step& blurred_step() {
  static const Step step;
  return step;
}

}  // namespace

bool SideFitter::fit(const cv::Mat& grey, const Lens& lens, const SideLine& line, double module_px, double blur_px,
                     SideFit& fit) {
  const cv::Point2d chord = line.end_px - line.start_px;
  const double length = cv::norm(chord);
  if (!(length > 8.0)) return false;
  const double half_width = std::clamp(2.8 * blur_px, std::min(1.8, 0.85 * module_px), 0.85 * module_px);
  // Near its ends a side is rounded by the blur, and a slanted column reaches past the corner.
  const double slant = std::min(std::abs(chord.x), std::abs(chord.y)) / length;
  if (!gather(grey, lens, line, half_width, 2.2 * blur_px + half_width * slant)) return false;
  Model model{};
  model[6] = blur_px;
  if (!begin(model)) return false;
  for (int i = 0; i < kSteps; ++i) {
    accumulate(model);
    if (i == 0) {
      own_offsets(Model{});
      weigh(0.3F);
    }
    if (!step(model)) return false;
    weigh(0.005F);
  }
  report(model, fit);
  return true;
}

bool SideFitter::gather(const cv::Mat& grey, const Lens& lens, const SideLine& line, double half_width, double margin) {
  const cv::Point2d chord = line.end_px - line.start_px;
  const double length = cv::norm(chord);
  // Along: the axis nearer to the side's direction, in whole pixels; across: the other.
  const bool along_x = std::abs(chord.x) >= std::abs(chord.y);
  const double run = along_x ? chord.x : chord.y, rise = along_x ? chord.y : chord.x;
  const double start = along_x ? line.start_px.x : line.start_px.y;
  const double slope = rise / run;
  const double outward = (along_x ? -chord.x : chord.y) / length;  // of the outward normal (chord.y, -chord.x) / length
  const auto step_along = along_x ? std::ptrdiff_t{1} : static_cast<std::ptrdiff_t>(grey.step[0]);
  const auto step_across = along_x ? static_cast<std::ptrdiff_t>(grey.step[0]) : std::ptrdiff_t{1};
  const int most_along = (along_x ? grey.cols : grey.rows) - 1, most_across = (along_x ? grey.rows : grey.cols) - 1;

  const double trim = margin * std::abs(run) / length;
  const int first = static_cast<int>(std::ceil(std::min(start, start + run) + trim));
  const int last = static_cast<int>(std::floor(std::max(start, start + run) - trim));
  const int stride = std::max(1, (last - first + kMostSamples) / kMostSamples);
  pitch_ = static_cast<float>(outward);
  half_width_ = static_cast<float>(half_width);
  const double reach = (half_width + 0.5) / std::abs(outward);
  sample_count_ = looked_at_ = 0;
  for (int place = first; place <= last && looked_at_ < kMostSamples; place += stride) {
    ++looked_at_;
    const double t = (place - start) / run;
    const cv::Point2d n = distort(lens, line.start + (line.end - line.start) * t);
    const cv::Point2d p{lens.fx * n.x + lens.cx, lens.fy * n.y + lens.cy};
    const double centre = (along_x ? p.y : p.x) + slope * (place - (along_x ? p.x : p.y));
    const int from = static_cast<int>(std::ceil(centre - reach));
    const int to = std::min(static_cast<int>(std::floor(centre + reach)), from + kMostAcross - 1);
    if (place < 0 || place > most_along || !(centre - reach >= 0.0) || to > most_across) continue;
    Sample& sample = samples_[size(sample_count_)];
    sample.along = static_cast<float>(2.0 * t - 1.0);
    sample.first = static_cast<float>((from - centre) * outward);
    sample.count = to - from + 1;
    sample.usable = true;
    sample.weight = 1.0F;
    const std::uint8_t* in = grey.data + place * step_along + from * step_across;
    float* out = pixels_[size(sample_count_)].data();
    for (int i = 0; i < sample.count; ++i) out[i] = static_cast<float>(in[i * step_across]);
    ++sample_count_;
  }
  return sample_count_ >= kLeastSamples && 2 * sample_count_ >= looked_at_;
}

// The levels at both ends of the samples; a sample whose own contrast is far from the others' is not part of the side.
bool SideFitter::begin(Model& model) {
  std::array<float, kMostSamples> inner{}, outer{};
  for (int k = 0; k < sample_count_; ++k) {
    const Sample& sample = samples_[size(k)];
    const auto& in = pixels_[size(k)];
    const auto ends = [&](int first) { return 0.5F * (in[size(first)] + in[size(first + 1)]); };
    const float low = ends(0), high = ends(std::max(sample.count - 2, 0));
    inner[size(k)] = pitch_ > 0.0F ? low : high;
    outer[size(k)] = pitch_ > 0.0F ? high : low;
  }
  sorted_ = inner;
  const float black = median(sample_count_);
  sorted_ = outer;
  const float white = median(sample_count_);
  const float contrast = white - black;
  if (!(contrast >= kLeastContrast)) return false;
  int usable = 0;
  for (int k = 0; k < sample_count_; ++k) {
    const float own = outer[size(k)] - inner[size(k)];
    samples_[size(k)].usable = own > 0.35F * contrast && own < 2.5F * contrast;
    if (samples_[size(k)].usable) ++usable;
  }
  model[2] = black;
  model[4] = white;
  return usable >= kLeastSamples;
}

void SideFitter::accumulate(const Model& model) {
  const Step& blurred = blurred_step();
  const auto blur = static_cast<float>(model[6]);
  const float per_blur = 1.0F / blur;
  for (int k = 0; k < sample_count_; ++k) {
    Sample& sample = samples_[size(k)];
    const float t = sample.along;
    const float offset = static_cast<float>(model[0]) + t * static_cast<float>(model[1]);
    const float black = static_cast<float>(model[2]) + t * static_cast<float>(model[3]);
    const float contrast = static_cast<float>(model[4]) + t * static_cast<float>(model[5]) - black;
    auto& n = sample.normal;
    auto& r = sample.right;
    n.fill(0.0F);
    r.fill(0.0F);
    sample.squares = sample.mass = 0.0F;
    const auto& in = pixels_[size(k)];
    for (int i = 0; i < sample.count; ++i) {
      const float u = sample.first + static_cast<float>(i) * pitch_;
      const float taper = std::clamp(half_width_ + 0.5F - std::abs(u), 0.0F, 1.0F);
      const float z = (u - offset) * per_blur;
      float value = 0.0F, slope = 0.0F;
      blurred.at(z, value, slope);
      const float left = in[size(i)] - black - contrast * value;
      const float by_offset = -contrast * slope * per_blur;
      const float by_black = 1.0F - value, by_white = value;
      const float by_blur = by_offset * z;
      const float te = taper * by_offset, tb = taper * by_black, tw = taper * by_white, ts = taper * by_blur;
      n[0] += te * by_offset;
      n[1] += te * by_black;
      n[2] += te * by_white;
      n[3] += te * by_blur;
      n[4] += tb * by_black;
      n[5] += tb * by_white;
      n[6] += tb * by_blur;
      n[7] += tw * by_white;
      n[8] += tw * by_blur;
      n[9] += ts * by_blur;
      r[0] += te * left;
      r[1] += tb * left;
      r[2] += tw * left;
      r[3] += ts * left;
      sample.squares += taper * left * left;
      sample.mass += taper;
    }
  }
}

bool SideFitter::step(Model& model) {
  // Parameter j of the model belongs to quantity kOf[j] of a sample, and the odd ones grow along the side.
  constexpr std::array<int, 7> kOf{0, 0, 1, 1, 2, 2, 3};
  constexpr std::array<std::array<int, 4>, 4> kAt{{{0, 1, 2, 3}, {1, 4, 5, 6}, {2, 5, 7, 8}, {3, 6, 8, 9}}};
  SmallSystem<7> system;
  for (int k = 0; k < sample_count_; ++k) {
    const Sample& sample = samples_[size(k)];
    if (!(sample.weight > 0.0F)) continue;
    std::array<double, 7> factor{1.0, sample.along, 1.0, sample.along, 1.0, sample.along, 1.0};
    for (std::size_t i = 0; i < 7; ++i) {
      const double w = sample.weight * factor[i];
      system.right[i] += w * sample.right[size(kOf[i])];
      for (std::size_t j = 0; j <= i; ++j)
        system.matrix[i][j] += w * factor[j] * sample.normal[size(kAt[size(kOf[i])][size(kOf[j])])];
    }
  }
  // Light changes little along a side; without this a side with few samples could trade it for a turn.
  for (const std::size_t i : {std::size_t{3}, std::size_t{5}}) {
    const double stiffness = 0.02 * system.matrix[i - 1][i - 1];
    system.matrix[i][i] += stiffness;
    system.right[i] -= stiffness * model[i];
  }
  Model change{};
  if (!system.solve(change)) return false;
  change[0] = std::clamp(change[0], -1.5, 1.5);
  change[6] = std::clamp(change[6], -0.4 * model[6], 0.5 * model[6]);
  own_offsets(change);
  for (std::size_t i = 0; i < 7; ++i) model[i] += change[i];
  model[6] = std::clamp(model[6], kLeastBlurPx, kMostBlurPx);
  return std::isfinite(model[0] + model[1]) && model[4] - model[2] >= kLeastContrast;
}

// Where each sample by itself would put the edge, from the line as changed; to first order.
void SideFitter::own_offsets(const Model& change) {
  for (int k = 0; k < sample_count_; ++k) {
    Sample& sample = samples_[size(k)];
    const float t = sample.along;
    const std::array<float, 4> d{static_cast<float>(change[0]) + t * static_cast<float>(change[1]),
                                 static_cast<float>(change[2]) + t * static_cast<float>(change[3]),
                                 static_cast<float>(change[4]) + t * static_cast<float>(change[5]),
                                 static_cast<float>(change[6])};
    const auto& n = sample.normal;
    const std::array<float, 4> nd{
        n[0] * d[0] + n[1] * d[1] + n[2] * d[2] + n[3] * d[3], n[1] * d[0] + n[4] * d[1] + n[5] * d[2] + n[6] * d[3],
        n[2] * d[0] + n[5] * d[1] + n[7] * d[2] + n[8] * d[3], n[3] * d[0] + n[6] * d[1] + n[8] * d[2] + n[9] * d[3]};
    const float left = sample.right[0] - nd[0];
    sample.offset = left / std::max(n[0], 1e-6F);
    float squares = sample.squares - left * sample.offset;
    for (std::size_t i = 0; i < 4; ++i) squares += d[i] * (nd[i] - 2.0F * sample.right[i]);
    sample.misfit = std::sqrt(std::max(squares, 0.0F) / std::max(sample.mass, 1.0F));
  }
}

float SideFitter::median(int count) {
  const auto middle = sorted_.begin() + count / 2;
  std::nth_element(sorted_.begin(), middle, sorted_.begin() + count);
  return *middle;
}

// Tukey's biweight on the own offsets; a sample that looks like no blurred edge at all counts nothing.
void SideFitter::weigh(float least_scale_px) {
  int usable = 0;
  for (int k = 0; k < sample_count_; ++k)
    if (samples_[size(k)].usable) sorted_[size(usable++)] = std::abs(samples_[size(k)].offset);
  const float scale_px = std::max(1.4826F * median(usable), least_scale_px);
  usable = 0;
  for (int k = 0; k < sample_count_; ++k)
    if (samples_[size(k)].usable) sorted_[size(usable++)] = samples_[size(k)].misfit;
  const float misfit = std::max(median(usable), 0.5F);
  for (int k = 0; k < sample_count_; ++k) {
    Sample& sample = samples_[size(k)];
    const float r = sample.offset / (4.685F * scale_px);
    const bool fits = sample.usable && std::abs(r) < 1.0F && sample.misfit < 4.0F * misfit;
    sample.weight = fits ? (1.0F - r * r) * (1.0F - r * r) : 0.0F;
  }
}

void SideFitter::report(const Model& model, SideFit& fit) const {
  double s0 = 0.0, s1 = 0.0, s2 = 0.0, squares = 0.0, first = 1.0, last = -1.0;
  fit.samples = 0;
  for (int k = 0; k < sample_count_; ++k) {
    const Sample& sample = samples_[size(k)];
    const double w = sample.weight, t = sample.along;
    s0 += w;
    s1 += w * t;
    s2 += w * t * t;
    squares += w * sample.offset * sample.offset;
    if (!(sample.weight > 0.1F)) continue;
    ++fit.samples;
    first = std::min(first, t);
    last = std::max(last, t);
  }
  const double looked = samples_[size(sample_count_ - 1)].along - samples_[0].along;
  const double variance = squares / std::max(s0 - 2.0, 1.0);
  const double det = std::max(s0 * s2 - s1 * s1, 1e-9);
  fit.offset_start_px = model[0] - model[1];
  fit.offset_end_px = model[0] + model[1];
  fit.sigma_start_px = std::sqrt(variance * (s2 + 2.0 * s1 + s0) / det);
  fit.sigma_end_px = std::sqrt(variance * (s2 - 2.0 * s1 + s0) / det);
  fit.blur_px = model[6];
  fit.contrast = model[4] - model[2];
  fit.share = static_cast<double>(fit.samples) / looked_at_;
  fit.span = std::abs((last - first) / looked);
}

}  // namespace vision
