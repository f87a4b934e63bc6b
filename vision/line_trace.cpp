#include "vision/line_trace.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <span>

#include "vision/line_shape.h"
#include "vision/sampling.h"
#include "vision/small_solve.h"

namespace vision {
namespace {

constexpr double kSpacingMm = 0.15, kWindowMm = 6.0;
constexpr int kSamples = 81;          // 2 * kWindowMm / kSpacingMm + 1
constexpr double kAlongStepMm = 0.5;  // rows that are averaged
constexpr int kRows = 8, kLeastRows = 6;
constexpr double kFineMm = 0.40, kBroadMm = 1.5;  // the filters' standard deviations
constexpr double kLeastAnswer = 0.35;             // of the usual one along the line
constexpr int kShapeSamples = 41;                 // 3 mm to either side tell an edge from a ridge
constexpr double kClearMm = 2.0;                  // to either side of the line the cloth must be in sight

using Samples = std::array<float, kSamples>;

struct Block {
  double t_mm = 0.0;  // along the line
  Samples light{};
  Samples answer{};  // fine filter, positive for what is sought
  bool found = false;
  double at_mm = 0.0;  // across, from the candidate
  double height = 0.0;
};

// Linear light of a grey value.
const std::array<float, 256>& light_of_grey() {
  static const std::array<float, 256> table = [] {
    std::array<float, 256> made{};
    for (size_t i = 0; i < made.size(); ++i)
      made[i] = static_cast<float>(std::pow(static_cast<double>(i) / 255.0, 2.2));
    return made;
  }();
  return table;
}

float sample_light(const cv::Mat& grey, double x, double y) {
  const std::array<float, 256>& light = light_of_grey();
  const int column = static_cast<int>(x), row = static_cast<int>(y);
  const float fx = static_cast<float>(x - column), fy = static_cast<float>(y - row);
  const uchar* upper = grey.ptr<uchar>(row) + column;
  const uchar* lower = upper + grey.step[0];
  const float top = light[upper[0]] + fx * (light[upper[1]] - light[upper[0]]);
  const float bottom = light[lower[0]] + fx * (light[lower[1]] - light[lower[0]]);
  return top + fy * (bottom - top);
}

// First derivative of a Gaussian for edges, the second, negative, for ridges. The edge filter answers an ideal step of
// height h by h; the ridge filter a thin line by its area per mm of breadth (its darkness times its width, in mm).
std::vector<float> filter(LineKind kind, double sigma_mm) {
  const int reach = static_cast<int>(std::ceil(3.0 * sigma_mm / kSpacingMm));
  std::vector<float> taps(static_cast<size_t>(2 * reach + 1));
  double norm = 0.0;
  for (int k = -reach; k <= reach; ++k) {
    const double x = k * kSpacingMm / sigma_mm, bell = std::exp(-0.5 * x * x);
    const double tap = kind == LineKind::edge ? x * bell : (1.0 - x * x) * bell;
    taps[static_cast<size_t>(k + reach)] = static_cast<float>(tap);
    if (kind == LineKind::edge && k > 0) norm += tap;
  }
  if (kind == LineKind::ridge) {  // answers nothing on flat ground, whatever the rounding
    const float mean = std::accumulate(taps.begin(), taps.end(), 0.0F) / static_cast<float>(taps.size());
    for (float& tap : taps) tap -= mean;
    norm = 1.0 / kSpacingMm;
  }
  for (float& tap : taps) tap = static_cast<float>(tap / norm);
  return taps;
}

void answer_to(const Samples& light, const std::vector<float>& taps, float sign, Samples& answer) {
  answer.fill(0.0F);
  const int reach = static_cast<int>(taps.size() / 2);
  for (int i = reach; i < kSamples - reach; ++i) {
    float sum = 0.0F;
    for (int k = -reach; k <= reach; ++k)
      sum += taps[static_cast<size_t>(k + reach)] * light[static_cast<size_t>(i + k)];
    answer[static_cast<size_t>(i)] = sign * sum;
  }
}

double across_of(double sample) { return sample * kSpacingMm - kWindowMm; }
double sample_of(double across_mm) { return (across_mm + kWindowMm) / kSpacingMm; }

double value_at(const Samples& values, double across_mm) {
  const double at = std::clamp(sample_of(across_mm), 0.0, kSamples - 1.001);
  const auto i = static_cast<size_t>(at);
  const double f = at - static_cast<double>(i);
  return (1.0 - f) * static_cast<double>(values[i]) + f * static_cast<double>(values[i + 1]);
}

double median(std::vector<double> values) {
  if (values.empty()) return 0.0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

// The parabola (or line) that the points follow: across = a + b t + c t^2, t in units of `scale_mm`.
struct Course {
  std::array<double, 3> p{};
  double scale_mm = 50.0;
  double at(double t_mm) const {
    const double t = t_mm / scale_mm;
    return p[0] + t * (p[1] + t * p[2]);
  }
};

class Tracer {
 public:
  Tracer(const cv::Mat& grey, const ClothSight& sight, const ClothPatch& patch, const LineCandidate& candidate,
         const TraceOptions& options)
      : grey_(grey),
        view_(cloth_view(sight)),
        patch_(patch),
        options_(options),
        kind_(candidate.kind),
        sign_(candidate.sign),
        along_(std::cos(candidate.angle_rad), std::sin(candidate.angle_rad)),
        across_(-along_.y, along_.x),
        foot_(candidate.distance_mm * across_) {}

  LineTrace trace() {
    read_blocks();
    LineTrace trace;
    trace.blocks = static_cast<int>(blocks_.size());
    if (blocks_.size() < 4) return trace;
    follow();
    conclude(trace);
    return trace;
  }

 private:
  cv::Point2d at(double t_mm, double across_mm) const { return foot_ + t_mm * along_ + across_mm * across_; }

  void read_blocks() {
    const double reach = std::hypot(patch_.grey.cols, patch_.grey.rows) * patch_.mm_per_px;
    const double from = std::max(options_.from_mm, -reach), to = std::min(options_.to_mm, reach);
    const std::vector<float> taps = filter(kind_, kFineMm);
    const int first = static_cast<int>(std::ceil(from / kTraceBlockMm)), last = static_cast<int>(to / kTraceBlockMm);
    for (int i = first; i < last; ++i) {
      Block block;
      block.t_mm = (i + 0.5) * kTraceBlockMm;
      if (!read(block)) continue;
      answer_to(block.light, taps, static_cast<float>(sign_), block.answer);
      blocks_.push_back(block);
    }
  }

  bool read(Block& block) const {
    int rows = 0;
    for (int k = 0; k < kRows; ++k) {
      const double t = block.t_mm + (k - 0.5 * (kRows - 1)) * kAlongStepMm;
      if (!patch_.shows(at(t, 0.0)) || !patch_.shows(at(t, kClearMm)) || !patch_.shows(at(t, -kClearMm))) continue;
      const cv::Point2d low = view_.image(at(t, -kWindowMm)), high = view_.image(at(t, kWindowMm));
      if (!inside_for_sampling(grey_, low.x, low.y) || !inside_for_sampling(grey_, high.x, high.y)) continue;
      const cv::Point2d step = (high - low) * (1.0 / (kSamples - 1));
      for (int i = 0; i < kSamples; ++i)
        block.light[static_cast<size_t>(i)] += sample_light(grey_, low.x + i * step.x, low.y + i * step.y);
      ++rows;
    }
    if (rows < kLeastRows) return false;
    for (float& value : block.light) value /= static_cast<float>(rows);
    return true;
  }

  // The strongest answer within the gate about the course.
  void look(Block& block, double gate_mm, double least) const {
    const double expected = course_.at(block.t_mm);
    const int low = std::max(1, static_cast<int>(std::ceil(sample_of(expected - gate_mm))));
    const int high = std::min(kSamples - 2, static_cast<int>(sample_of(expected + gate_mm)));
    block.found = false;
    block.height = 0.0;
    for (int i = low; i <= high; ++i) {
      const auto k = static_cast<size_t>(i);
      const double here = block.answer[k], before = block.answer[k - 1], after = block.answer[k + 1];
      if (here <= block.height || here < least || before > here || after >= here) continue;
      const double curve = before - 2.0 * here + after;
      block.at_mm = across_of(i + (curve < -1e-12 ? std::clamp(0.5 * (before - after) / curve, -0.5, 0.5) : 0.0));
      block.height = here;
      block.found = true;
    }
  }

  double usual_height() const {
    std::vector<double> heights;
    for (const Block& block : blocks_) heights.push_back(block.height);
    return median(std::move(heights));
  }

  void follow() {
    constexpr std::array<double, 5> kGates{1.0, 0.8, 0.6, 0.5, 0.5};
    for (size_t round = 0; round < kGates.size(); ++round) {
      const double gate = options_.gate_mm * kGates[round];
      for (Block& block : blocks_) look(block, gate, 1e-9);
      const double least = kLeastAnswer * usual_height();
      for (Block& block : blocks_) block.found = block.found && block.height >= least;
      if (!fit_course(options_.may_bow && round > 0)) return;
    }
    // What does not follow the course is something else.
    for (Block& block : blocks_)
      block.found = block.found && std::abs(block.at_mm - course_.at(block.t_mm)) <= stray_limit_;
  }

  // Robust (Tukey's weights), over the found blocks.
  bool fit_course(bool bent) {
    std::vector<double> off;
    for (int round = 0; round < 4; ++round) {
      off.clear();
      for (const Block& block : blocks_)
        if (block.found) off.push_back(std::abs(block.at_mm - course_.at(block.t_mm)));
      if (off.size() < 4) return false;
      const double limit = std::max(0.25, 4.0 * 1.4826 * median(off));
      stray_limit_ = std::clamp(limit, 0.35, 0.8);
      if (!(bent ? solve<3>(limit) : solve<2>(limit))) return false;
    }
    return true;
  }

  template <size_t N>
  bool solve(double limit) {
    SmallSystem<N> system;
    for (const Block& block : blocks_) {
      const double r = (block.at_mm - course_.at(block.t_mm)) / limit;
      if (!block.found || std::abs(r) >= 1.0) continue;
      const double weight = (1.0 - r * r) * (1.0 - r * r), t = block.t_mm / course_.scale_mm;
      const std::array<double, 3> j{1.0, t, t * t};
      for (size_t a = 0; a < N; ++a) {
        for (size_t b = 0; b <= a; ++b) system.matrix[a][b] += weight * j[a] * j[b];
        system.right[a] += weight * j[a] * block.at_mm;
      }
    }
    std::array<double, N> x{};
    if (!system.solve(x)) return false;
    course_.p = {};
    std::copy(x.begin(), x.end(), course_.p.begin());
    return true;
  }

  void conclude(LineTrace& trace) const {
    const Block* before = nullptr;
    for (const Block& block : blocks_) {
      if (!block.found) continue;
      trace.points.push_back(at(block.t_mm, block.at_mm));
      if (before != nullptr) trace.longest_gap_mm = std::max(trace.longest_gap_mm, block.t_mm - before->t_mm);
      before = &block;
    }
    trace.longest_gap_mm = std::max(0.0, trace.longest_gap_mm - kTraceBlockMm);
    trace.found = static_cast<int>(trace.points.size());
    if (trace.found < 4) return;
    trace.fit = fit_line(trace.points);
    if (trace.fit.status != FitStatus::ok) return;
    trace.length_mm = cv::norm(trace.points.back() - trace.points.front()) + kTraceBlockMm;
    trace.rms_mm = trace.fit.rms;
    measure_bow(trace);
    state_variances(trace);
    measure_profile(trace);
  }

  // Across the fitted line, positive to its left.
  static double off(const LineTrace& trace, size_t i) {
    return trace.fit.direction.cross(trace.points[i] - trace.fit.point);
  }
  static double along(const LineTrace& trace, size_t i) {
    return trace.fit.direction.dot(trace.points[i] - trace.fit.point);
  }

  static void measure_bow(LineTrace& trace) {
    const double half = 0.5 * trace.length_mm;
    SmallSystem<3> system;
    for (size_t i = 0; i < trace.points.size(); ++i) {
      const double t = along(trace, i) / half;
      const std::array<double, 3> j{t * t, 1.0, t};
      for (size_t a = 0; a < 3; ++a) {
        for (size_t b = 0; b <= a; ++b) system.matrix[a][b] += j[a] * j[b];
        system.right[a] += j[a] * off(trace, i);
      }
    }
    // Of the inverse only the curvature's own element is needed: its column solves for a unit vector.
    SmallSystem<3> inverse = system;
    inverse.right = {1.0, 0.0, 0.0};
    std::array<double, 3> x{}, column{};
    if (!system.solve(x) || !inverse.solve(column)) return;
    trace.bow_mm = x[0];
    trace.bow_u_mm = 2.0 * trace.fit.sigma0 * std::sqrt(std::max(0.0, column[0]));
  }

  // Neighbouring points share threads and creases: their errors are alike, and fewer of them count.
  static void state_variances(LineTrace& trace) {
    double same = 0.0, all = 1e-12;
    for (size_t i = 0; i < trace.points.size(); ++i) {
      const double r = off(trace, i);
      all += r * r;
      if (i > 0) same += r * off(trace, i - 1);
    }
    const double likeness = std::clamp(same / all, 0.0, 0.75);
    constexpr double kLeastSigmaMm = 0.015;
    const double sigma = std::max(kLeastSigmaMm, trace.fit.sigma0);
    const double variance = sigma * sigma * (1.0 + likeness) / (1.0 - likeness);
    trace.variance_across = variance * trace.fit.unit_variance_across;
    trace.variance_angle = variance * trace.fit.unit_variance_angle;
  }

  // The light across the course, averaged along all of it, whether the line was found there or not.
  void measure_profile(LineTrace& trace) const {
    Samples mean{};
    double sum = 0.0, squares = 0.0, noise = 0.0, sum_found = 0.0, squares_found = 0.0;
    for (const Block& block : blocks_) {
      const double line = course_.at(block.t_mm);
      for (size_t i = 0; i < kSamples; ++i)
        mean[i] += static_cast<float>(value_at(block.light, across_of(static_cast<double>(i)) + line)) /
                   static_cast<float>(blocks_.size());
      const double here = value_at(block.answer, line);
      sum += here, squares += here * here;
      if (block.found) sum_found += here, squares_found += here * here;
      for (const double beside : {-3.0, -2.4, 2.4, 3.0}) {
        const double v = value_at(block.answer, line + beside);
        noise += v * v / 4.0;
      }
    }
    const double n = static_cast<double>(blocks_.size());
    const double height = sum / n;
    const double spread = std::max(squares / n - height * height, 0.5 * noise / n);
    trace.significance = height / std::sqrt(spread / n + 1e-14);
    const double m = static_cast<double>(std::max(1, trace.found)), height_found = sum_found / m;
    const double spread_found = std::max(squares_found / m - height_found * height_found, 0.5 * noise / n);
    trace.significance_found = height_found / std::sqrt(spread_found / m + 1e-14);
    measure_width(mean, trace);
    const LineShape shape = line_shape(
        std::span<const float>(mean).subspan((kSamples - kShapeSamples) / 2, kShapeSamples), kSpacingMm, kind_);
    trace.misfit = shape.misfit;
    trace.bend_misfit = shape.bend_misfit;
    // What fades beside an edge draws the steepest place off it.
    if (kind_ == LineKind::edge) trace.shift_mm = shape.place_mm;
  }

  void measure_width(const Samples& mean, LineTrace& trace) const {
    Samples fine{}, broad{};
    answer_to(mean, filter(kind_, kFineMm), static_cast<float>(sign_), fine);
    answer_to(mean, filter(kind_, kBroadMm), static_cast<float>(sign_), broad);
    const double f = std::max(1e-9, value_at(fine, 0.0)), b = std::max(1e-9, value_at(broad, 0.0));
    double around = 0.0;
    for (const double across : {-3.0, -1.5, 1.5, 3.0}) around += 0.25 * value_at(mean, across);
    around = std::max(around, 1e-4);
    const double f2 = kFineMm * kFineMm, b2 = kBroadMm * kBroadMm;
    if (kind_ == LineKind::edge) {
      // A step spread by w answers h / sqrt(1 + w^2 / sigma^2).
      const double q = (f * f) / (b * b);  // ((1 + w2 / b2) / (1 + w2 / f2))
      const double w2 = (1.0 - q) / (q / f2 - 1.0 / b2);
      trace.width_mm = q >= 1.0 ? 0.0 : q <= f2 / b2 ? 10.0 : std::sqrt(w2);
      trace.contrast = f / around * std::sqrt(1.0 + std::min(trace.width_mm, 1.0) * trace.width_mm / f2);
    } else {
      // A thin line of the area a, spread by w, answers a (sigma^2 / (sigma^2 + w^2))^(3/2).
      const double q = std::cbrt((f / b) * (f / b));  // (1 + w2 / b2) / (1 + w2 / f2)
      const double w2 = (1.0 - q) / (q / f2 - 1.0 / b2);
      trace.width_mm = q >= 1.0 ? 0.0 : q <= f2 / b2 ? 10.0 : std::sqrt(w2);
      trace.contrast = f / around * std::pow(1.0 + std::min(trace.width_mm, 1.0) * trace.width_mm / f2, 1.5);
    }
  }

  const cv::Mat& grey_;
  PlaneView view_;
  const ClothPatch& patch_;
  TraceOptions options_;
  LineKind kind_;
  int sign_;
  cv::Point2d along_, across_, foot_;
  std::vector<Block> blocks_;
  Course course_;
  double stray_limit_ = 0.5;
};

}  // namespace

LineTrace trace_line(const cv::Mat& grey, const ClothSight& sight, const ClothPatch& patch,
                     const LineCandidate& candidate, const TraceOptions& options) {
  return Tracer(grey, sight, patch, candidate, options).trace();
}

}  // namespace vision
