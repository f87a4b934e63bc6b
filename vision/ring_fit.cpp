#include "vision/ring_fit.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace vision {
namespace {

// x, y, angle, then the offsets of: inner darker, inner brighter, outer darker, outer brighter (away from the rim),
// then the shift (x, y) of the inner edge towards the light.
constexpr int kUnknowns = 9;
constexpr int kFirstOffset = 3, kFirstShift = 7;
using Normal = cv::Matx<double, kUnknowns, kUnknowns>;
using Vector = cv::Vec<double, kUnknowns>;

// How far the visible edge may lie off the taught outline: half the usual bevel.
constexpr double kOffsetPriorMm = 0.4;
// No edge is trusted better than this, however steep: shading and cloth shift it.
constexpr double kEdgeFloorMm = 0.05;

// Light from one side shades the bevels: the visible inner edge shifts by tenths of a millimetre along the light, the
// same way on all sides, and the outer edge with it by about this share. As far as the two outlines disagree in place,
// it is this shift; the prior keeps it small.
constexpr double kOuterShare = 0.10;
constexpr double kShiftPriorMm = 0.2;

int offset_index(const OutlinePoint& point, const RimEdge& edge) {
  return kFirstOffset + (point.inner ? 0 : 2) + (edge.step > 0.0 ? 1 : 0);
}

// How much a displacement of the unknowns moves the outline away from the rim's material at a point: six of them do.
struct Slope {
  std::array<int, 6> at{0, 1, 2, kFirstOffset, kFirstShift, kFirstShift + 1};
  std::array<double, 6> value{};

  explicit Slope(const OutlinePoint& point) {
    const double share = point.inner ? 1.0 : kOuterShare;
    value = {point.away.x, point.away.y,         point.away.x * -point.at_mm.y + point.away.y * point.at_mm.x,
             1.0,          share * point.away.x, share * point.away.y};
  }
  // Without the offset, which depends on the edge.
  double of_pose(const Vector& x) const {
    return value[0] * x[0] + value[1] * x[1] + value[2] * x[2] + value[4] * x[kFirstShift] +
           value[5] * x[kFirstShift + 1];
  }
};

double sigma2_of(const RimEdge& edge) {
  const double noise = 1.0 / edge.step;  // mm, for a grey noise of a few levels over the filter
  return kEdgeFloorMm * kEdgeFloorMm + noise * noise;
}

double tukey_weight(double residual_mm, double gate_mm) {
  const double ratio = residual_mm / gate_mm;
  return std::abs(ratio) < 1.0 ? (1.0 - ratio * ratio) * (1.0 - ratio * ratio) : 0.0;
}

struct Round {
  Normal normal = Normal::zeros();
  Vector right = Vector::all(0.0);
  double squares = 0.0, chi2 = 0.0, weights = 0.0;
  int used = 0, usable = 0, tight = 0, sharp = 0;

  // The upper triangle only; complete() mirrors it.
  void add(const Slope& slope, double weight, double residual) {
    for (size_t r = 0; r < 6; ++r) {
      const double weighted = weight * slope.value[r];
      right[slope.at[r]] += weighted * residual;
      for (size_t c = r; c < 6; ++c) normal(slope.at[r], slope.at[c]) += weighted * slope.value[c];
    }
  }
  void complete() {
    for (int r = 0; r < kUnknowns; ++r) {
      for (int c = 0; c < r; ++c) normal(r, c) = normal(c, r);
    }
  }
};

// Each point takes the edge that is both steep and near the present model: while the gate is wide the steep edges of
// the rim lead, when it is narrow the nearest one wins. Tukey's weight fades the far ones out.
Round accumulate(const RimModel& model, const std::vector<RimEdges>& edges, const Vector& x, double gate_mm,
                 std::vector<char>* found) {
  Round round;
  for (size_t i = 0; i < model.points.size(); ++i) {
    const OutlinePoint& point = model.points[i];
    if (found) (*found)[i] = 0;
    if (point.beside_notch || !edges[i].in_frame) continue;
    ++round.usable;
    Slope slope(point);
    const double pose_part = slope.of_pose(x);
    double best = 0.0;
    const RimEdge* nearest = nullptr;
    for (int e = 0; e < edges[i].count; ++e) {
      const RimEdge& edge = edges[i].edges[static_cast<size_t>(e)];
      const double tukey = tukey_weight(edge.away_mm - pose_part - x[offset_index(point, edge)], gate_mm);
      const double score = tukey * tukey * std::abs(edge.step);
      if (score > best) {
        best = score;
        nearest = &edge;
      }
    }
    if (!nearest) continue;
    slope.at[3] = offset_index(point, *nearest);
    const double residual = nearest->away_mm - pose_part - x[slope.at[3]];
    const double tukey = tukey_weight(residual, gate_mm);
    const double sigma2 = sigma2_of(*nearest);
    const double weight = tukey / sigma2;
    round.add(slope, weight, residual);
    round.squares += tukey * residual * residual;
    round.chi2 += weight * residual * residual;
    round.weights += tukey;
    ++round.used;
    round.sharp += std::abs(residual) < kSharpMm ? 1 : 0;
    if (std::abs(residual) < kTightMm) {
      ++round.tight;
      if (found) (*found)[i] = 1;
    }
  }
  round.complete();
  return round;
}

// The information on the pose when nothing but the prior is known of the offsets: the Schur complement.
cv::Matx33d without_offsets(const Normal& normal) {
  constexpr int rest = kUnknowns - 3;
  const cv::Matx33d a = normal.get_minor<3, 3>(0, 0);
  const cv::Matx<double, 3, rest> b = normal.get_minor<3, rest>(0, 3);
  cv::Matx<double, rest, rest> c = normal.get_minor<rest, rest>(3, 3);
  for (int k = 0; k < rest; ++k) {
    const double sigma = k + 3 < kFirstShift ? kOffsetPriorMm : kShiftPriorMm;
    c(k, k) += 1.0 / (sigma * sigma);
  }
  return a - b * c.inv(cv::DECOMP_CHOLESKY) * b.t();
}

// The share of points that have an edge within kSharpMm at the best of many places, were their edges strewn evenly over
// the window.
double chance_support(const RimModel& model, const std::vector<RimEdges>& edges, double window_mm) {
  double sum = 0.0, usable = 0.0;
  for (size_t i = 0; i < model.points.size(); ++i) {
    if (model.points[i].beside_notch || !edges[i].in_frame) continue;
    usable += 1.0;
    sum += 1.0 - std::pow(1.0 - std::min(1.0, kSharpMm / window_mm), edges[i].count);
  }
  // The search takes the best of many places: three standard deviations above the mean, neighbouring points going
  // together by fours.
  const double mean = sum / std::max(usable, 1.0);
  return std::min(1.0, mean + 3.0 * std::sqrt(4.0 * mean * (1.0 - mean) / std::max(usable, 1.0)));
}

// `settled`: offsets and shift are set free only once the pose has settled, or they would follow the wrong edges.
void add_priors(Round& round, const Vector& x, bool settled, bool fixed_angle) {
  for (int k = kFirstOffset; k < kUnknowns; ++k) {
    const double free = k < kFirstShift ? kOffsetPriorMm : kShiftPriorMm;
    const double sigma = settled ? free : 0.01;
    const double weight = 1.0 / (sigma * sigma);
    round.normal(k, k) += weight;
    round.right[k] -= weight * x[k];
  }
  // A lid on steps that the edges do not determine.
  const double angle_weight = fixed_angle ? 1e12 : 1.0;
  round.normal(2, 2) += angle_weight;
  round.right[2] -= angle_weight * x[2];
}

}  // namespace

bool RingFitter::fit(const cv::Mat& grey, const Lens& lens, const CameraPose& pose, double rim_height_mm,
                     const RimModel& model, const Pose2& start, const RingFitOptions& options, RingFit& outcome) {
  const RimViews views(lens, pose, rim_height_mm, model, start);
  find_rim_edges(grey, views, model, options.edges, edges_);
  outcome.found.assign(model.points.size(), 0);
  Vector x = Vector::all(0.0);
  constexpr double final_gate_mm = 0.45;
  Round round, last;  // the last one without the priors
  for (int k = 0; k < options.rounds; ++k) {
    const double share = static_cast<double>(k) / std::max(1, options.rounds - 2);
    const double gate = std::max(final_gate_mm, options.gate_mm * std::pow(final_gate_mm / options.gate_mm, share));
    round = accumulate(model, edges_, x, gate, &outcome.found);
    if (round.used < 12) return false;
    last = round;
    add_priors(round, x, gate <= 2.0 * final_gate_mm, options.fixed_angle);
    cv::Vec<double, kUnknowns> step;
    if (!cv::solve(round.normal, round.right, step, cv::DECOMP_CHOLESKY)) return false;
    x += step;
  }
  outcome.board_from_hoop = compose(start, Pose2{{x[0], x[1]}, x[2]});
  outcome.support = static_cast<double>(round.tight) / std::max(1, round.usable);
  outcome.shift_mm = {x[kFirstShift], x[kFirstShift + 1]};
  const double chance = chance_support(model, edges_, options.edges.window_mm);
  outcome.beyond_chance =
      (static_cast<double>(round.sharp) / std::max(1, round.usable) - chance) / std::max(1.0 - chance, 1e-3);
  outcome.rms_mm = std::sqrt(round.squares / std::max(round.weights, 1e-9));
  outcome.chi2 = round.chi2 / std::max(round.weights, 1e-9);
  outcome.information = without_offsets(last.normal);
  return true;
}

}  // namespace vision
