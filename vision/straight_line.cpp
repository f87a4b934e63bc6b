#include "vision/straight_line.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/line_trace.h"

namespace vision {
namespace {

constexpr double kLeastSignificance = 10.0;
constexpr double kLeastPartSignificance = 14.0;  // of a line that is too short: it was chosen for being found
constexpr double kLeastContrast = 0.012;         // of an edge, relative
constexpr double kLeastRidgeContrast = 0.03;     // mm
constexpr double kSameAngleRad = 2.5 * kRadPerDeg, kSameMm = 3.0;
constexpr double kSharpMm = 0.45;      // sharper than any lamp's shadow from the height of a rim
constexpr double kLeastCloth = 400.0;  // mm^2 in sight
// What shifts an edge off its true place all along: unlike shading of its two sides, the tone curve. Standard
// uncertainty, found on rendered edges of all kinds.
constexpr double kEdgeBiasMm = 0.04, kRidgeBiasMm = 0.025;
constexpr double kShiftDoubt = 0.4;     // share of what the shape of the light tells
constexpr double kMisfitDoubtMm = 0.8;  // for what no shape explains
constexpr double kBentMisfit = 0.2;
constexpr double kTwistRad = 0.008 * kRadPerDeg;  // the same, unequal from end to end
// After a last line, mm and rad: how far the cloth moves from frame to frame while hands slide it.
constexpr double kFollowRad = 6.0 * kRadPerDeg, kFollowMm = 12.0;

struct Judged {
  LineStatus status = LineStatus::no_line;
  FoundLine line;
  double misfit = 1.0;
};

FoundLine described(const ClothSight& sight, const PlaneView& view, const LineCandidate& candidate,
                    const LineTrace& trace) {
  FoundLine line;
  line.kind = candidate.kind;
  const double bias =
      std::hypot(candidate.kind == LineKind::edge ? kEdgeBiasMm : kRidgeBiasMm, kShiftDoubt * trace.shift_mm);
  // `across` of the trace is that of the candidate's direction.
  const cv::Point2d left(-std::sin(candidate.angle_rad), std::cos(candidate.angle_rad));
  const cv::Point2d point = trace.fit.point + trace.shift_mm * left;
  const double angle = std::atan2(trace.fit.direction.y, trace.fit.direction.x);
  line.place = line_place(sight, point, angle, trace.variance_across + bias * bias,
                          trace.variance_angle + kTwistRad * kTwistRad);
  // The place's direction may be the trace's turned round; so are left and right.
  const double shown = line.place.angle_deg * kRadPerDeg;
  const cv::Point2d u(std::cos(shown), std::sin(shown)), n(-u.y, u.x);
  const double turned = std::cos(candidate.angle_rad - shown) < 0.0 ? -1.0 : 1.0;
  line.sign = candidate.kind == LineKind::edge && turned < 0.0 ? -candidate.sign : candidate.sign;
  line.bow_mm = trace.bow_mm * (trace.fit.direction.dot(u) < 0.0 ? -1.0 : 1.0);
  line.length_mm = trace.length_mm;
  line.share = trace.blocks > 0 ? static_cast<double>(trace.found) / trace.blocks : 0.0;
  line.rms_mm = trace.rms_mm;
  line.contrast = trace.contrast;
  line.misfit = trace.misfit;
  line.bend_misfit = trace.bend_misfit;
  line.width_mm = trace.width_mm;
  line.standing_out = std::min(trace.contrast, 0.3) * trace.length_mm * line.share;
  line.from_mm = trace.points.front() - 0.5 * kTraceBlockMm * trace.fit.direction;
  line.to_mm = trace.points.back() + 0.5 * kTraceBlockMm * trace.fit.direction;
  if ((line.to_mm - line.from_mm).dot(u) < 0.0) std::swap(line.from_mm, line.to_mm);
  const auto on_line = [&](cv::Point2d p) { return p + (line.place.distance_mm - n.dot(p)) * n; };
  line.from_px = view.image(on_line(line.from_mm));
  line.to_px = view.image(on_line(line.to_mm));
  return line;
}

// The shadow of the ring's wall, and the crease at its foot, keep step with the ring.
bool keeps_step_with_ring(const ClothSight& sight, const LineTrace& trace) {
  constexpr double kNearMm = 25.0, kStepMm = 2.5;
  std::vector<cv::Point2f> outline;
  for (const cv::Point2d& p : sight.inner_mm) outline.emplace_back(p);
  double least = 1e9, most = 0.0;
  // Its ends may run into a rounded corner.
  const size_t ends = trace.points.size() / 5;
  for (size_t i = ends; i + ends < trace.points.size(); ++i) {
    const double away = std::abs(cv::pointPolygonTest(outline, trace.points[i], true));
    least = std::min(least, away), most = std::max(most, away);
  }
  return most < kNearMm && most - least < kStepMm;
}

// Thin lines of cloth leave a bend a quarter of the light's changes and more, a shadow's end some hundredths.
bool is_bend(const FoundLine& line, const LineOptions& options) {
  return line.kind == LineKind::ridge && line.bend_misfit < options.least_bend_misfit;
}

LineStatus judged(const ClothSight& sight, const LineTrace& trace, const FoundLine& line, const LineOptions& options) {
  if (line.length_mm < options.least_length_mm || line.share < options.least_share) return LineStatus::too_short;
  const double bow_limit = std::max(options.bow_limit_mm, options.bow_limit_share * line.length_mm);
  if (!(std::abs(trace.bow_mm) - trace.bow_u_mm <= bow_limit) || !(trace.rms_mm <= options.rms_limit_mm))
    return LineStatus::not_straight;
  if (is_bend(line, options)) return LineStatus::too_soft;
  double widest = line.kind == LineKind::edge ? options.edge_width_limit_mm : options.ridge_width_limit_mm;
  if (keeps_step_with_ring(sight, trace)) widest = std::min(widest, kSharpMm);
  if (!(line.width_mm <= widest)) return LineStatus::too_soft;
  return LineStatus::ok;
}

double angle_between(double a_rad, double b_rad) { return std::abs(std::remainder(a_rad - b_rad, kPi)); }

// Two answers to one thing: a thin line has an edge on either side.
bool same_thing(const FoundLine& a, const FoundLine& b) {
  if (angle_between(a.place.angle_deg * kRadPerDeg, b.place.angle_deg * kRadPerDeg) > kSameAngleRad) return false;
  const cv::Point2d middle = 0.5 * (a.from_mm + a.to_mm), along = b.to_mm - b.from_mm;
  return std::abs(along.cross(middle - b.from_mm)) / std::max(1e-9, cv::norm(along)) < kSameMm;
}

// Whether the same side is the brighter one.
bool same_sense(const FoundLine& a, const FoundLine& b) {
  const bool turned = std::cos((a.place.angle_deg - b.place.angle_deg) * kRadPerDeg) < 0.0;
  return (a.sign == b.sign) != (turned && a.kind == LineKind::edge);
}

double distance_to(const FoundLine& line, cv::Point2d p) {
  const cv::Point2d along = line.to_mm - line.from_mm;
  const double t = std::clamp(along.dot(p - line.from_mm) / std::max(1e-9, along.dot(along)), 0.0, 1.0);
  return cv::norm(p - line.from_mm - t * along);
}

bool passes_near(const LineCandidate& candidate, cv::Point2d p, double reach_mm) {
  const double across = std::cos(candidate.angle_rad) * p.y - std::sin(candidate.angle_rad) * p.x;
  return std::abs(across - candidate.distance_mm) <= reach_mm;
}

class Reader {
 public:
  Reader(const cv::Mat& grey, const ClothSight& sight, const LineOptions& options)
      : grey_(grey), sight_(sight), options_(options), view_(cloth_view(sight)), patch_(cloth_patch(grey, sight)) {}

  LineReading read() {
    LineReading reading;
    const double in_sight = cv::countNonZero(patch_.usable) * patch_.mm_per_px * patch_.mm_per_px;
    if (in_sight < kLeastCloth) {
      reading.status = LineStatus::out_of_sight;
      return reading;
    }
    if (options_.last && follow(reading)) return reading;
    ScanOptions scan;
    for (const LineCandidate& candidate : scan_lines(patch_, scan)) consider(candidate);
    return options_.near_mm ? pointed_at() : best();
  }

 private:
  // The last frame's line, while it is still the one next to where it was.
  bool follow(LineReading& reading) {
    const FoundLine& last = *options_.last;
    ScanOptions scan;
    scan.middle_rad = last.place.angle_deg * kRadPerDeg;
    scan.reach_rad = kFollowRad;
    const cv::Point2d middle = 0.5 * (last.from_mm + last.to_mm);
    for (const LineCandidate& candidate : scan_lines(patch_, scan)) {
      if (candidate.kind == last.kind && passes_near(candidate, middle, kFollowMm)) consider(candidate);
    }
    const Judged* best = nullptr;
    double least = kFollowMm;
    for (const Judged& one : judged_) {
      const double away = distance_to(one.line, middle);
      if (one.status != LineStatus::ok || !same_sense(one.line, last) || away > least) continue;
      least = away;
      best = &one;
    }
    if (best == nullptr) {
      judged_.clear();
      return false;
    }
    reading.status = LineStatus::ok;
    reading.line = best->line;
    return true;
  }

  void consider(const LineCandidate& candidate) {
    if (options_.near_mm && !passes_near(candidate, *options_.near_mm, options_.near_reach_mm + 3.0)) return;
    const LineTrace trace = trace_line(grey_, sight_, patch_, candidate);
    if (trace.fit.status != FitStatus::ok) return;
    const double least = candidate.kind == LineKind::edge ? kLeastContrast : kLeastRidgeContrast;
    const bool part = trace.found < options_.least_share * trace.blocks;
    const bool clear = part ? trace.significance_found >= kLeastPartSignificance
                            : trace.significance >= kLeastSignificance && trace.contrast >= least;
    if (!clear) return;
    Judged judged_line{LineStatus::no_line, described(sight_, view_, candidate, trace), trace.misfit};
    judged_line.status = judged(sight_, trace, judged_line.line, options_);
    // A bent line is smeared: enough that it is to be called so.
    const double limit = judged_line.status == LineStatus::not_straight || judged_line.status == LineStatus::too_short
                             ? kBentMisfit
                         : candidate.kind == LineKind::edge ? options_.edge_misfit_limit
                                                            : options_.ridge_misfit_limit;
    if (!(trace.misfit <= limit)) return;
    keep(std::move(judged_line));
  }

  // The flank of a thin line passes for an edge whose far side fades, hardly the other way round.
  double weighed(const Judged& one) const {
    constexpr double kEdge = 3.0;
    if (is_bend(one.line, options_)) return 1.0;
    return one.line.kind == LineKind::edge ? kEdge * one.misfit : one.misfit;
  }

  // Of the answers to one thing that stays which explains best what is seen.
  void keep(Judged&& one) {
    for (Judged& other : judged_) {
      if (!same_thing(one.line, other.line)) continue;
      if (weighed(one) < weighed(other)) other = std::move(one);
      return;
    }
    judged_.push_back(std::move(one));
  }

  LineReading best() {
    std::sort(judged_.begin(), judged_.end(),
              [](const Judged& a, const Judged& b) { return a.line.standing_out > b.line.standing_out; });
    LineReading reading;
    for (const Judged& one : judged_) {
      if (one.status != LineStatus::ok) continue;
      if (reading.rivals.empty() || one.line.standing_out >= options_.rival_share * reading.rivals.front().standing_out)
        reading.rivals.push_back(one.line);
    }
    if (reading.rivals.empty()) return refused();
    reading.status = reading.rivals.size() == 1 ? LineStatus::ok : LineStatus::several_lines;
    if (reading.status == LineStatus::ok) {
      reading.line = reading.rivals.front();
      reading.rivals.clear();
    }
    return reading;
  }

  // A finger is some mm off: a clear line a little further away is meant before a faint one beneath.
  LineReading pointed_at() {
    LineReading reading;
    double most = 0.0;
    for (const Judged& one : judged_) {
      const double away = distance_to(one.line, *options_.near_mm);
      if (one.status != LineStatus::ok || away > options_.near_reach_mm) continue;
      const double weight = one.line.standing_out / (1.0 + away * away / 9.0);
      if (weight <= most) continue;
      most = weight;
      reading.line = one.line;
    }
    if (!reading.line) return refused();
    reading.status = LineStatus::ok;
    return reading;
  }

  // Why the likeliest of them is none.
  LineReading refused() const {
    LineReading reading;
    double most = 0.0;
    for (const Judged& one : judged_) {
      if (one.status == LineStatus::ok || one.line.standing_out <= most) continue;
      if (options_.near_mm && distance_to(one.line, *options_.near_mm) > options_.near_reach_mm) continue;
      most = one.line.standing_out;
      reading.status = one.status;
      reading.line = one.line;
    }
    return reading;
  }

  const cv::Mat& grey_;
  const ClothSight& sight_;
  const LineOptions& options_;
  PlaneView view_;
  ClothPatch patch_;
  std::vector<Judged> judged_;
};

}  // namespace

std::string_view name(LineStatus status) {
  switch (status) {
    case LineStatus::ok:
      return "ok";
    case LineStatus::out_of_sight:
      return "out_of_sight";
    case LineStatus::no_line:
      return "no_line";
    case LineStatus::too_short:
      return "too_short";
    case LineStatus::not_straight:
      return "not_straight";
    case LineStatus::too_soft:
      return "too_soft";
    case LineStatus::several_lines:
      return "several_lines";
  }
  return "unknown";
}

LineReading read_line(const cv::Mat& grey, const ClothSight& sight, const LineOptions& options) {
  return Reader(grey, sight, options).read();
}

}  // namespace vision
