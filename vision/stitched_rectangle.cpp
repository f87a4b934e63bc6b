#include "vision/stitched_rectangle.h"

#include <algorithm>
#include <cmath>

#include "vision/line_trace.h"
#include "vision/rectangle_scan.h"

namespace vision {
namespace {

constexpr double kLeastSignificance = 8.0;
constexpr double kLeastContrast = 0.012;  // darkness or brightness times width, mm
constexpr double kLeastShare = 0.6;
constexpr double kWidestMm = 1.2;
constexpr double kCornerMm = 2.5;     // left out at each end of a side
constexpr double kSideBiasMm = 0.03;  // standard uncertainty of one stitched line beyond its points
constexpr double kTwistRad = 0.01 * kRadPerDeg;
constexpr double kSquareShare = 0.01;  // sides this equal make a square
constexpr double kSamePlaceMm = 2.0;

enum SideIndex { kWest, kEast, kSouth, kNorth };

struct Sides {
  std::array<LineTrace, 4> trace;
  std::array<double, 4> turn_rad{};  // against the rectangle's own axis
  std::array<double, 4> off_mm{};    // from the candidate's middle, along x for west and east, y for south and north
};

struct Judged {
  StitchedRectangle rectangle;
  int sides = 0;  // that were found
};

// A side of the candidate as a line of the hoop frame, and which stretch of it.
LineTrace trace_side(const cv::Mat& grey, const ClothSight& sight, const ClothPatch& patch,
                     const RectangleCandidate& candidate, int side, const cv::Size2d& size, double gate_mm) {
  const bool upright = side == kWest || side == kEast;
  const double half = 0.5 * (upright ? size.width : size.height), length = upright ? size.height : size.width;
  const double out = side == kWest || side == kSouth ? -half : half;
  const cv::Point2d middle =
      apply(candidate.hoop_from_rectangle, upright ? cv::Point2d(out, 0.0) : cv::Point2d(0.0, out));
  LineCandidate line;
  line.kind = LineKind::ridge;
  line.sign = candidate.sign;
  line.angle_rad = candidate.hoop_from_rectangle.angle_rad + (upright ? kPi / 2.0 : 0.0);
  const cv::Point2d u(std::cos(line.angle_rad), std::sin(line.angle_rad));
  line.distance_mm = u.cross(middle);
  TraceOptions options;
  options.gate_mm = gate_mm;
  options.from_mm = u.dot(middle) - 0.5 * length + kCornerMm;
  options.to_mm = u.dot(middle) + 0.5 * length - kCornerMm;
  return trace_line(grey, sight, patch, line, options);
}

bool stands_out(const LineTrace& trace) {
  return trace.fit.status == FitStatus::ok && trace.significance >= kLeastSignificance &&
         trace.contrast >= kLeastContrast && trace.width_mm <= kWidestMm && trace.found >= kLeastShare * trace.blocks;
}

// Angle and offset of each side in the candidate's frame; the offset where the side crosses its own axis.
void place_sides(const Pose2& hoop_from_rectangle, Sides& sides) {
  for (int k = 0; k < 4; ++k) {
    const auto i = static_cast<size_t>(k);
    const LineFit& fit = sides.trace[i].fit;
    const bool upright = k == kWest || k == kEast;
    const double angle = std::atan2(fit.direction.y, fit.direction.x) - hoop_from_rectangle.angle_rad;
    sides.turn_rad[i] = std::remainder(angle - (upright ? kPi / 2.0 : 0.0), kPi);
    const cv::Point2d p = apply_inverse(hoop_from_rectangle, fit.point);
    sides.off_mm[i] = upright ? p.x + std::tan(sides.turn_rad[i]) * p.y : p.y - std::tan(sides.turn_rad[i]) * p.x;
  }
}

double angle_variance(const LineTrace& trace) { return trace.variance_angle + kTwistRad * kTwistRad; }
double across_variance(const LineTrace& trace) { return trace.variance_across + kSideBiasMm * kSideBiasMm; }

// How much further two directions are apart than their own uncertainties (k = 2) allow.
double beyond_rad(double apart, double variance) { return std::max(0.0, std::abs(apart) - 2.0 * std::sqrt(variance)); }

void measure(const ClothSight& sight, const RectangleCandidate& candidate, const Sides& sides, StitchedRectangle& r) {
  double weights = 0.0, turn = 0.0;
  for (size_t i = 0; i < 4; ++i) {
    const double weight = 1.0 / angle_variance(sides.trace[i]);
    weights += weight;
    turn += weight * sides.turn_rad[i];
  }
  turn /= weights;
  double chi2 = 0.0, off = 0.0;
  for (size_t i = 0; i < 4; ++i) {
    const double apart = sides.turn_rad[i] - turn;
    chi2 += apart * apart / angle_variance(sides.trace[i]);
    off = std::max(off, beyond_rad(apart, angle_variance(sides.trace[i])));
  }
  r.square_off_deg = off * kDegPerRad;
  // The crossing of the two middle lines, which run along the rectangle's axes as they turned out.
  const double x = 0.5 * (sides.off_mm[kWest] + sides.off_mm[kEast]);
  const double y = 0.5 * (sides.off_mm[kSouth] + sides.off_mm[kNorth]);
  const double c = std::cos(turn), s = std::sin(turn);
  // Points with p.x + tan(turn) p.y = x and p.y - tan(turn) p.x = y.
  const cv::Point2d middle{c * c * x - s * c * y, c * c * y + s * c * x};
  r.hoop_from_rectangle = {apply(candidate.hoop_from_rectangle, middle),
                           candidate.hoop_from_rectangle.angle_rad + turn};
  r.size_mm = {(sides.off_mm[kEast] - sides.off_mm[kWest]) * c, (sides.off_mm[kNorth] - sides.off_mm[kSouth]) * c};
  const double across_x = across_variance(sides.trace[kWest]) + across_variance(sides.trace[kEast]);
  const double across_y = across_variance(sides.trace[kSouth]) + across_variance(sides.trace[kNorth]);
  const Covariance3 own_in_rectangle =
      Covariance3::diag({across_x / 4.0, across_y / 4.0, std::max(1.0, chi2 / 3.0) / weights});
  const double angle = r.hoop_from_rectangle.angle_rad, ca = std::cos(angle), sa = std::sin(angle);
  const cv::Matx33d axes(ca, -sa, 0.0, sa, ca, 0.0, 0.0, 0.0, 1.0);
  r.covariance = covariance_in_hoop(sight, r.hoop_from_rectangle, axes * own_in_rectangle * axes.t());
  // A cloth higher or lower than taught looks larger or smaller, in proportion to the camera's distance.
  const double height_share =
      sight.cloth_height_u_mm / std::max(1.0, std::abs(sight.camera_from_board.translation_mm[2]));
  const double scale_u = std::hypot(height_share, sight.print_scale_u) * std::max(r.size_mm.width, r.size_mm.height);
  r.u_size_mm = 2.0 * std::hypot(std::sqrt(std::max(across_x, across_y)), scale_u);
}

void take_least_turned(StitchedRectangle& r) {
  double& angle = r.hoop_from_rectangle.angle_rad;
  const bool square = std::abs(r.size_mm.width - r.size_mm.height) <= kSquareShare * r.size_mm.width;
  r.look_alikes = square ? 4 : 2;
  angle = std::remainder(angle, square ? kPi / 2.0 : kPi);
}

void finish(const ClothSight& sight, StitchedRectangle& r) {
  take_least_turned(r);
  r.board_from_rectangle = compose(sight.board_from_hoop, r.hoop_from_rectangle);
  const double xx = r.covariance(0, 0), yy = r.covariance(1, 1), xy = r.covariance(0, 1);
  r.u_offset_mm = 2.0 * std::sqrt(0.5 * (xx + yy) + std::hypot(0.5 * (xx - yy), xy));
  r.u_angle_deg = 2.0 * std::sqrt(r.covariance(2, 2)) * kDegPerRad;
  const double x = 0.5 * r.size_mm.width, y = 0.5 * r.size_mm.height;
  const std::array<cv::Point2d, 4> corners{{{-x, y}, {x, y}, {x, -y}, {-x, -y}}};
  const PlaneView view = cloth_view(sight);
  for (size_t k = 0; k < 4; ++k) {
    r.corners_in_hoop[k] = apply(r.hoop_from_rectangle, corners[k]);
    r.corners_px[k] = view.image(r.corners_in_hoop[k]);
  }
}

bool straight(const LineTrace& trace, const RectangleOptions& options) {
  constexpr double kRmsLimitMm = 0.4;
  return std::abs(trace.bow_mm) - trace.bow_u_mm <= options.bow_limit_mm && trace.rms_mm <= kRmsLimitMm;
}

RectangleStatus status_of(const Sides& sides, const StitchedRectangle& r, const RectangleOptions& options) {
  for (const LineTrace& trace : sides.trace)
    if (!straight(trace, options)) return RectangleStatus::not_straight;
  if (!(r.square_off_deg <= options.square_limit_deg)) return RectangleStatus::not_square;
  const double limit_x = std::max(options.least_size_limit_mm, options.size_limit * options.expected_mm.width);
  const double limit_y = std::max(options.least_size_limit_mm, options.size_limit * options.expected_mm.height);
  const bool fits = std::abs(r.size_mm.width - options.expected_mm.width) <= limit_x &&
                    std::abs(r.size_mm.height - options.expected_mm.height) <= limit_y;
  return fits ? RectangleStatus::ok : RectangleStatus::wrong_size;
}

Judged judged(const cv::Mat& grey, const ClothSight& sight, const ClothPatch& patch,
              const RectangleCandidate& candidate, const RectangleOptions& options, double gate_mm) {
  Judged one;
  Sides sides;
  for (int k = 0; k < 4; ++k) {
    LineTrace& trace = sides.trace[static_cast<size_t>(k)];
    trace = trace_side(grey, sight, patch, candidate, k, options.expected_mm, gate_mm);
    one.sides += stands_out(trace) ? 1 : 0;
  }
  one.rectangle.bright_thread = candidate.sign > 0;
  if (one.sides < 4) {
    one.rectangle.status = one.sides >= 2 ? RectangleStatus::side_not_found : RectangleStatus::weak_contrast;
    return one;
  }
  place_sides(candidate.hoop_from_rectangle, sides);
  for (const LineTrace& trace : sides.trace) one.rectangle.rms_mm = std::max(one.rectangle.rms_mm, trace.rms_mm);
  measure(sight, candidate, sides, one.rectangle);
  one.rectangle.status = status_of(sides, one.rectangle, options);
  finish(sight, one.rectangle);
  return one;
}

bool same_place(const StitchedRectangle& a, const StitchedRectangle& b) {
  return cv::norm(a.hoop_from_rectangle.origin_mm - b.hoop_from_rectangle.origin_mm) < kSamePlaceMm;
}

}  // namespace

std::string_view name(RectangleStatus status) {
  switch (status) {
    case RectangleStatus::ok:
      return "ok";
    case RectangleStatus::out_of_sight:
      return "out_of_sight";
    case RectangleStatus::weak_contrast:
      return "weak_contrast";
    case RectangleStatus::side_not_found:
      return "side_not_found";
    case RectangleStatus::not_straight:
      return "not_straight";
    case RectangleStatus::not_square:
      return "not_square";
    case RectangleStatus::wrong_size:
      return "wrong_size";
    case RectangleStatus::several:
      return "several";
  }
  return "unknown";
}

StitchedRectangle find_stitched_rectangle(const cv::Mat& grey, const ClothSight& sight,
                                          const RectangleOptions& options) {
  StitchedRectangle best;
  if (!(options.expected_mm.width > 8.0) || !(options.expected_mm.height > 8.0)) {
    best.status = RectangleStatus::out_of_sight;
    return best;
  }
  const ClothPatch patch = cloth_patch(grey, sight);
  RectangleScanOptions scan_options;
  scan_options.size_mm = options.expected_mm;
  const double longer = std::max(options.expected_mm.width, options.expected_mm.height);
  scan_options.slack_mm = 0.8 + 0.5 * options.search_size * longer;
  scan_options.turn_limit_rad = options.turn_limit_deg * kRadPerDeg;
  const RectangleScan scan = scan_rectangles(patch, scan_options);
  if (!scan.fits_in_sight) {
    best.status = RectangleStatus::out_of_sight;
    return best;
  }
  int most_sides = -1;
  bool found = false;
  for (const RectangleCandidate& candidate : scan.candidates) {
    const Judged one = judged(grey, sight, patch, candidate, options, scan_options.slack_mm + 1.5);
    if (one.rectangle.status == RectangleStatus::ok) {
      if (found && !same_place(one.rectangle, best)) {
        best.status = RectangleStatus::several;
        return best;
      }
      if (!found) best = one.rectangle;
      found = true;
    } else if (!found && one.sides > most_sides) {
      best = one.rectangle;
      most_sides = one.sides;
    }
  }
  return best;
}

}  // namespace vision
