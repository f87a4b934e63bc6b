#include "vision/tag_side.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "vision/lanes.h"

namespace vision {
namespace {

constexpr double kLeastBlurPx = 0.5, kMostBlurPx = 5.0;
constexpr float kLeastContrast = 8.0F;  // grey levels
constexpr int kLeastSamples = 6;
// A median is good enough from about this many samples.
constexpr std::size_t kEnoughForMedian = 20;
// Tukey's biweight: where it ends, in standard deviations, and what share of a normal variance it then keeps.
constexpr float kBiweightEnd = 4.685F, kBiweightKeeps = 0.87F;
// Standard deviation of the samples about a line that is only roughly known, px.
// Root mean square of what the model may leave of a sample, as a share of the contrast, however well others fit.
constexpr float kLeastMisfit = 0.06F;
constexpr float kRoughScalePx = 0.35F, kLeastScalePx = 0.005F;

std::size_t size(int n) { return static_cast<std::size_t>(n); }
// Rows are worked on up to whole lanes; what pads them weighs nothing.
std::size_t padded(int samples) { return (size(samples) + kLanes - 1) / kLanes * kLanes; }

// Where the upper triangle of a symmetric 4 x 4 matrix keeps element (i, j).
constexpr std::array<std::array<std::size_t, 4>, 4> kPlace{{{0, 1, 2, 3}, {1, 4, 5, 6}, {2, 5, 7, 8}, {3, 6, 8, 9}}};
// The quantity of a sample that a parameter of the model belongs to, and how it grows along the side.
constexpr std::array<std::size_t, 7> kQuantity{3, 1, 1, 2, 2, 0, 0};
constexpr std::array<std::size_t, 7> kGrows{0, 0, 1, 0, 1, 0, 1};

}  // namespace

bool SideFitter::fit(const cv::Mat& grey, const Lens& lens, const SideLine& line, Known known, Effort effort,
                     SideFit& fit) {
  if (!band_.gather(grey, lens, line, known.blur_px, effort.most_samples)) return false;
  Model model{}, change{};
  model[0] = known.blur_px;
  bend_ = static_cast<float>(known.bend);
  if (!begin(fit, model)) return false;
  for (int look = 0; look < effort.looks; ++look) {
    accumulate(model);
    if (look == 0) {
      own_offsets(Model{});
      weigh(kRoughScalePx);
    }
    for (int i = 0; i < effort.weighings; ++i) {
      if (!solve(model, change)) return false;
      own_offsets(change);
      weigh(look == 0 && i == 0 ? 1.4826F * typical(own_offset_) : weighted_scale_px());
    }
    for (std::size_t i = 0; i < 7; ++i) model[i] += change[i];
    model[0] = std::clamp(model[0], kLeastBlurPx, kMostBlurPx);
    if (!std::isfinite(model[5] + model[6]) || !(model[3] - model[1] >= kLeastContrast)) return false;
  }
  report(model, fit);
  return true;
}

// The levels at both ends of the samples; a sample whose own contrast is far from the others' is not part of the side.
bool SideFitter::begin(const SideFit& last, Model& model) {
  // Where the ring is least touched by white, and the outer end.
  const float inside = std::max(band_.innermost, -0.5F * band_.module), outside = band_.outermost;
  const auto level_at = [this](std::size_t k, float distance) {
    const float place = (distance - band_.first[k]) / band_.pitch;
    const auto i = size(std::clamp(static_cast<int>(place), 0, band_.across - 2));
    return 0.5F * (band_.level[i][k] + band_.level[i + 1][k]);
  };
  Row inner, outer;
  usable_.fill(true);
  for (std::size_t k = 0; k < size(band_.samples); ++k) {
    inner[k] = level_at(k, inside);
    outer[k] = level_at(k, outside);
  }
  const float black = typical(inner), white = typical(outer);
  const float contrast = white - black;
  if (!(contrast >= kLeastContrast)) return false;
  int usable = 0;
  for (std::size_t k = 0; k < size(band_.samples); ++k) {
    const float own = outer[k] - inner[k];
    usable_[k] = own > 0.35F * contrast && own < 2.5F * contrast;
    weight_[k] = usable_[k] ? 1.0F : 0.0F;
    if (usable_[k]) ++usable;
  }
  least_misfit_ = std::max(2.0F, kLeastMisfit * kLeastMisfit * contrast * contrast);
  if (last.contrast > 0.0) {
    model[1] = last.black;
    model[2] = last.black_change;
    model[3] = last.black + last.contrast;
    model[4] = last.white_change;
  } else {
    model[1] = black;
    model[3] = white;
  }
  return usable >= kLeastSamples;
}

void SideFitter::accumulate(const Model& model) {
  const std::size_t count = size(band_.samples);
  for (std::size_t k = count; k < padded(band_.samples); ++k) {
    band_.along[k] = weight_[k] = 0.0F;
    band_.first[k] = 1e3F;
    for (std::size_t i = 0; i < size(band_.across); ++i)
      band_.level[i][k] = band_.leak[i][k] = band_.leak_by_offset[i][k] = band_.leak_by_blur[i][k] = 0.0F;
  }
  for (std::size_t k = 0; k < count; k += kLanes) accumulate_lanes(model, k);
}

// The edge's slope is (1 - x^2)^4 on -1..1, which is the normal one to about a hundredth and needs no table; the
// edge's place comes from the model's symmetry, not from its tails.
void SideFitter::accumulate_lanes(const Model& model, std::size_t at) {
  constexpr float kHalfWidth = 3.3166248F;  // sqrt(11): gives it standard deviation 1
  constexpr float kPeak = 315.0F / 256.0F;  // 1 over its integral from -1 to 1
  const auto parameter = [&model](std::size_t i) { return static_cast<float>(model[i]); };
  const Lanes t = load(&band_.along[at]), first = load(&band_.first[at]);
  const Lanes offset = parameter(5) + t * parameter(6), black = parameter(1) + t * parameter(2);
  const Lanes contrast = parameter(3) + t * parameter(4) - black;
  const float per_blur = 1.0F / parameter(0), inner = band_.innermost - 0.5F, outer = band_.outermost + 0.5F;
  const Lanes zero = all(0.0F), one = all(1.0F);
  std::array<Lanes, 10> n{};
  std::array<Lanes, 4> r{};
  Lanes squares = zero, mass = zero;
  for (std::size_t i = 0; i < size(band_.across); ++i) {
    const Lanes u = first + static_cast<float>(i) * band_.pitch;
    const Lanes taper = smaller(larger(smaller(u - inner, outer - u), zero), one);
    const Lanes z = (u - offset) * per_blur;
    const Lanes x = smaller(larger(z * (1.0F / kHalfWidth), -one), one), xx = x * x;
    const Lanes rest = 1.0F - xx, rest2 = rest * rest;
    const Lanes step =
        0.5F + kPeak * x * (1.0F + xx * (-4.0F / 3.0F + xx * (6.0F / 5.0F + xx * (-4.0F / 7.0F + xx * (1.0F / 9.0F)))));
    const Lanes light = step + load(&band_.leak[i][at]);
    const Lanes by_white = light + bend_ * light * (1.0F - light), by_black = 1.0F - by_white;
    const Lanes by_light = contrast * (1.0F + bend_ - 2.0F * bend_ * light);
    const Lanes slope = rest2 * rest2 * (-kPeak / kHalfWidth * per_blur);
    const Lanes by_offset = by_light * (slope + load(&band_.leak_by_offset[i][at]));
    const Lanes by_blur = by_light * (slope * z + load(&band_.leak_by_blur[i][at]));
    const Lanes left = load(&band_.level[i][at]) - black - contrast * by_white;
    const Lanes te = taper * by_offset, tb = taper * by_black, tw = taper * by_white, ts = taper * by_blur;
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
    squares += taper * left * left;
    mass += taper;
  }
  for (std::size_t j = 0; j < 10; ++j) store(&normal_[j][at], n[j]);
  for (std::size_t j = 0; j < 4; ++j) store(&right_[j][at], r[j]);
  store(&squares_[at], squares);
  store(&mass_[at], mass);
}

// Sums over the samples of weight times 1, the place along the side, and its square.
SideFitter::Sums SideFitter::sums(const Row& row) const {
  Lanes plain = all(0.0F), once = plain, twice = plain;
  for (std::size_t k = 0; k < size(band_.samples); k += kLanes) {
    const Lanes t = load(&band_.along[k]), w = load(&weight_[k]) * load(&row[k]), wt = w * t;
    plain += w;
    once += wt;
    twice += wt * t;
  }
  return {sum(plain), sum(once), sum(twice)};
}

// From the samples' weighted equations to the change of the model, and how loosely that holds the ends.
bool SideFitter::solve(const Model& model, Model& change) {
  std::array<Sums, 10> normal;
  std::array<Sums, 4> right;
  for (std::size_t j = 0; j < 10; ++j) normal[j] = sums(normal_[j]);
  for (std::size_t j = 0; j < 4; ++j) right[j] = sums(right_[j]);
  SmallSystem<7> system;
  for (std::size_t i = 0; i < 7; ++i) {
    system.right[i] = right[kQuantity[i]][kGrows[i]];
    for (std::size_t j = 0; j <= i; ++j)
      system.matrix[i][j] = normal[kPlace[kQuantity[i]][kQuantity[j]]][kGrows[i] + kGrows[j]];
  }
  // Light changes little along a side; without this a side with few samples could trade it for a turn.
  for (const std::size_t i : {std::size_t{2}, std::size_t{4}}) {
    const double stiffness = 0.02 * system.matrix[i - 1][i - 1];
    system.matrix[i][i] += stiffness;
    system.right[i] -= stiffness * model[i];
  }
  if (!system.solve(change)) return false;
  change[0] = std::clamp(change[0], -0.4 * model[0], 0.5 * model[0]);
  change[5] = std::clamp(change[5], -1.5, 1.5);
  // The factor's last corner is that of the offsets with all else left free.
  const double a = system.matrix[5][5], b = system.matrix[6][5], c = system.matrix[6][6];
  const double weights = std::accumulate(weight_.begin(), weight_.begin() + band_.samples, 0.0);
  const double typical = normal[0][0] / std::max(weights, 1.0);  // of a sample's hold on the edge, all else known
  const auto looseness = [&](double t) {                         // (1, t) times the inverse of that corner times (1, t)
    const double p = 1.0 / a, q = (t - b * p) / c;
    return (p * p + q * q) * typical;
  };
  looseness_start_ = looseness(-1.0);
  looseness_end_ = looseness(1.0);
  return true;
}

// Where each sample by itself would put the edge, from the line as changed; to first order.
void SideFitter::own_offsets(const Model& change) {
  const auto by = [&change](std::size_t i) { return static_cast<float>(change[i]); };
  for (std::size_t k = 0; k < size(band_.samples); k += kLanes) {
    const Lanes t = load(&band_.along[k]);
    const std::array<Lanes, 4> d{by(5) + t * by(6), by(1) + t * by(2), by(3) + t * by(4), all(by(0))};
    std::array<Lanes, 4> moved{};  // the normal matrix times d
    for (std::size_t i = 0; i < 4; ++i)
      for (std::size_t j = 0; j < 4; ++j) moved[i] += load(&normal_[kPlace[i][j]][k]) * d[j];
    const Lanes left = load(&right_[0][k]) - moved[0];
    const Lanes own = left / larger(load(&normal_[0][k]), all(1e-6F));
    Lanes squares = load(&squares_[k]) - left * own;
    for (std::size_t i = 0; i < 4; ++i) squares += d[i] * (moved[i] - 2.0F * load(&right_[i][k]));
    store(&own_offset_[k], own);
    store(&misfit_[k], larger(squares, all(0.0F)) / larger(load(&mass_[k]), all(1.0F)));
  }
}

// Of |row| over some of the usable samples.
float SideFitter::typical(const Row& row) {
  const std::size_t stride = std::max<std::size_t>(1, size(band_.samples) / kEnoughForMedian);
  auto end = sorted_.begin();
  for (std::size_t k = 0; k < size(band_.samples); k += stride)
    if (usable_[k]) *end++ = std::abs(row[k]);
  const auto middle = sorted_.begin() + (end - sorted_.begin()) / 2;
  if (middle == end) return 0.0F;
  std::nth_element(sorted_.begin(), middle, end);
  return *middle;
}

float SideFitter::weighted_scale_px() const {
  Lanes weights = all(1e-6F), squares = all(0.0F);
  for (std::size_t k = 0; k < size(band_.samples); k += kLanes) {
    const Lanes w = load(&weight_[k]), r = load(&own_offset_[k]);
    weights += w;
    squares += w * r * r;
  }
  return static_cast<float>(std::sqrt(sum(squares) / (kBiweightKeeps * sum(weights))));
}

// Tukey's biweight on the own offsets; a sample that looks like no blurred edge at all counts nothing.
void SideFitter::weigh(float scale_px) {
  Lanes misfits = all(0.0F), weights = all(1e-6F);
  for (std::size_t k = 0; k < size(band_.samples); k += kLanes) {
    misfits += load(&weight_[k]) * load(&misfit_[k]);
    weights += load(&weight_[k]);
  }
  const auto most_misfit = static_cast<float>(std::max(12.0 * sum(misfits) / sum(weights), least_misfit_));
  const float per_limit = 1.0F / (kBiweightEnd * std::max(scale_px, kLeastScalePx));
  for (std::size_t k = 0; k < size(band_.samples); ++k) {
    const float r = own_offset_[k] * per_limit, rest = std::max(1.0F - r * r, 0.0F);
    weight_[k] = usable_[k] && misfit_[k] < most_misfit ? rest * rest : 0.0F;
  }
}

void SideFitter::report(const Model& model, SideFit& fit) const {
  double weights = 0.0, squares = 0.0;
  float first = 2.0F, last = -2.0F;
  fit.samples = 0;
  for (std::size_t k = 0; k < size(band_.samples); ++k) {
    weights += weight_[k];
    squares += weight_[k] * own_offset_[k] * own_offset_[k];
    if (!(weight_[k] > 0.1F)) continue;
    ++fit.samples;
    first = std::min(first, band_.along[k]);
    last = std::max(last, band_.along[k]);
  }
  const double looked = std::abs(band_.along[size(band_.samples - 1)] - band_.along[0]);
  const double variance = squares / std::max(weights - 2.0, 1.0);  // of one sample's own offset
  fit.offset_start_px = model[5] - model[6];
  fit.offset_end_px = model[5] + model[6];
  fit.sigma_start_px = std::sqrt(variance * looseness_start_);
  fit.sigma_end_px = std::sqrt(variance * looseness_end_);
  fit.blur_px = model[0];
  fit.contrast = model[3] - model[1];
  fit.black = model[1];
  fit.black_change = model[2];
  fit.white_change = model[4];
  fit.share = static_cast<double>(fit.samples) / band_.looked_at;
  fit.span = (last - first) / looked;
}

}  // namespace vision
