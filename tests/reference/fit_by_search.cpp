#include "tests/reference/fit_by_search.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace by_search {
namespace {

using app::Field;

constexpr double kPi = vision::kPi;
constexpr double kGolden = 0.6180339887498949;
constexpr double kFar = 1e9;

// Where `value` is least between two ends, with one valley there.
template <typename Function>
double valley(double from, double to, int steps, const Function& value) {
  double a = to - kGolden * (to - from), b = from + kGolden * (to - from);
  double at_a = value(a), at_b = value(b);
  for (int i = 0; i < steps; ++i) {
    if (at_a <= at_b) {
      to = b, b = a, at_b = at_a;
      a = to - kGolden * (to - from), at_a = value(a);
    } else {
      from = a, a = b, at_a = at_b;
      b = from + kGolden * (to - from), at_b = value(b);
    }
  }
  return at_a <= at_b ? a : b;
}

// Between an end where `holds` and one where it does not.
template <typename Predicate>
double border(double holds_at, double fails_at, const Predicate& holds) {
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (holds_at + fails_at);
    (holds(middle) ? holds_at : fails_at) = middle;
  }
  return holds_at;
}

double to_segment(cv::Point2d p, cv::Point2d a, cv::Point2d b) {
  const cv::Point2d along = b - a;
  const double share = along.dot(along) > 0.0 ? std::clamp((p - a).dot(along) / along.dot(along), 0.0, 1.0) : 0.0;
  return cv::norm(p - a - share * along);
}

// To the ellipse with these half axes round a centre, by its parameter.
double to_ellipse(cv::Point2d p, cv::Size2d half, cv::Point2d centre = {}) {
  constexpr int kSamples = 180;
  const auto distance = [&](double u) {
    return cv::norm(p - centre - cv::Point2d(half.width * std::cos(u), half.height * std::sin(u)));
  };
  int best = 0;
  double least = kFar;
  for (int i = 0; i < kSamples; ++i)
    if (const double d = distance(2.0 * kPi * i / kSamples); d < least) least = d, best = i;
  double nearest = least;
  // The valley may be that of a neighbour where two are alike.
  for (const int i : {best - 1, best, best + 1}) {
    const double u = 2.0 * kPi * i / kSamples, step = 2.0 * kPi / kSamples;
    nearest = std::min(nearest, distance(valley(u - step, u + step, 60, distance)));
  }
  return nearest;
}

double to_rectangle(cv::Point2d p, double x, double y) {
  return std::min({to_segment(p, {-x, -y}, {x, -y}), to_segment(p, {x, -y}, {x, y}), to_segment(p, {x, y}, {-x, y}),
                   to_segment(p, {-x, y}, {-x, -y})});
}

double corner_of(const Field& f) { return f.shape == Field::Shape::rounded_rectangle ? f.corner_mm : 0.0; }

double gap_of(const Field& field, cv::Point2d p) {
  const double x = field.size_mm.width / 2.0, y = field.size_mm.height / 2.0, r = corner_of(field);
  if (field.shape == Field::Shape::oval) {
    const bool inside = p.x * p.x / (x * x) + p.y * p.y / (y * y) <= 1.0;
    return (inside ? 1.0 : -1.0) * to_ellipse(p, {x, y});
  }
  const double px = std::abs(p.x), py = std::abs(p.y);
  if (r == 0.0) return (px <= x && py <= y ? 1.0 : -1.0) * to_rectangle(p, x, y);
  // A rounded rectangle is a cross and four discs; its edge four sides and four arcs.
  const bool in_disc = std::hypot(px - (x - r), py - (y - r)) <= r;
  const bool inside = (px <= x - r && py <= y) || (px <= x && py <= y - r) || in_disc;
  double distance =
      std::min({to_segment({px, py}, {x, 0.0}, {x, y - r}), to_segment({px, py}, {0.0, y}, {x - r, y}),
                to_segment({px, py}, {x, -(y - r)}, {x, 0.0}), to_segment({px, py}, {-(x - r), y}, {0.0, y})});
  const cv::Point2d from_corner(px - (x - r), py - (y - r));
  if (from_corner.x >= 0.0 && from_corner.y >= 0.0) {
    const auto to_arc = [&](double u) { return cv::norm(from_corner - r * cv::Point2d(std::cos(u), std::sin(u))); };
    distance = std::min(distance, to_arc(valley(0.0, kPi / 2.0, 60, to_arc)));
  }
  return (inside ? 1.0 : -1.0) * distance;
}

// The upper half of the oval's curve less the clearance, along its normals, by the cosine of its parameter.
double oval_half_chord(double a, double b, double c, double x) {
  x = std::abs(x);
  const auto length = [&](double w) { return std::sqrt(b * b * w * w + a * a * (1.0 - w * w)); };
  const auto over = [&](double w) { return w * (a - c * b / length(w)) - x; };
  double low = 0.0, high = 1.0, at_low = over(low), at_high = over(high);
  if (at_high < 0.0) return -kFar;
  for (int i = 0, side = 0; i < 100 && high - low > 1e-16; ++i) {  // false position, the kept end's weight halved
    double w = high - at_high * (high - low) / (at_high - at_low);
    if (!(w > low && w < high)) w = 0.5 * (low + high);
    const double at = over(w);
    if (std::abs(at) < 1e-14 * a) return std::sqrt(1.0 - w * w) * (b - c * a / length(w));
    if (at > 0.0) {
      high = w, at_high = at;
      if (side == 1) at_low *= 0.5;
      side = 1;
    } else {
      low = w, at_low = at;
      if (side == -1) at_high *= 0.5;
      side = -1;
    }
  }
  const double w = 0.5 * (low + high);
  return std::sqrt(std::max(0.0, 1.0 - w * w)) * (b - c * a / length(w));
}

// The play in y at this place in x, and where y lies then.
struct Play {
  double from, to;
};
Play play(const Field& field, double clearance, const Points& turned, double x) {
  Play free{-kFar, kFar};
  for (const cv::Point2d& p : turned) {
    const double half = half_chord_mm(field, clearance, p.x + x);
    free.from = std::max(free.from, -half - p.y);
    free.to = std::min(free.to, half - p.y);
  }
  return free;
}

// The places in x at which the design's width is inside.
std::pair<double, double> span(const Field& field, double clearance, const Points& turned) {
  double left = kFar, right = -kFar;
  for (const cv::Point2d& p : turned) left = std::min(left, p.x), right = std::max(right, p.x);
  const double half = field.size_mm.width / 2.0 - clearance;
  return {-half - left, half - right};
}

double roomiest(const Field& field, double clearance, const Points& turned) {
  const auto [from, to] = span(field, clearance, turned);
  return valley(from, to, 60, [&](double x) {
    const Play free = play(field, clearance, turned, x);
    return free.from - free.to;
  });
}

Points turned_by(const Points& hull, double angle_rad) {
  Points points;
  for (const cv::Point2d& p : hull) points.push_back(vision::apply({{}, angle_rad}, p));
  return points;
}

bool fits_at(const Field& field, double clearance, const Points& hull, const vision::Pose2& pose) {
  return std::all_of(hull.begin(), hull.end(), [&](const cv::Point2d& v) {
    const cv::Point2d p = vision::apply(pose, v);
    return std::abs(p.y) <= half_chord_mm(field, clearance, p.x);
  });
}

}  // namespace

double gap_mm(const Field& field, const Points& points) {
  double gap = kFar;
  for (const cv::Point2d& p : points) gap = std::min(gap, gap_of(field, p));
  return gap;
}

double half_chord_mm(const Field& field, double c, double x) {
  const double a = field.size_mm.width / 2.0, b = field.size_mm.height / 2.0, r = std::max(corner_of(field), c);
  if (!(std::abs(x) <= a - c) || !(b >= c)) return -kFar;
  if (field.shape == Field::Shape::oval) return oval_half_chord(a, b, c, x);
  if (std::abs(x) <= a - r) return b - c;
  const double in_corner = std::abs(x) - (a - r);
  return b - r + std::sqrt(std::max(0.0, (r - c) * (r - c) - in_corner * in_corner));
}

double too_narrow_mm(const Field& field, double clearance, const Points& turned) {
  const auto [from, to] = span(field, clearance, turned);
  if (from > to) return from - to;
  const Play free = play(field, clearance, turned, roomiest(field, clearance, turned));
  return free.from - free.to;
}

std::optional<double> slide_mm(const Field& field, double clearance, const Points& turned, cv::Point2d centre) {
  const auto [from, to] = span(field, clearance, turned);
  if (from > to) return std::nullopt;
  const double best = roomiest(field, clearance, turned);
  const auto possible = [&](double x) {
    const Play free = play(field, clearance, turned, x);
    return free.from <= free.to;
  };
  if (!possible(best)) return std::nullopt;
  const double left = possible(from) ? from : border(best, from, possible);
  const double right = possible(to) ? to : border(best, to, possible);
  const auto length = [&](double x) {
    const Play free = play(field, clearance, turned, x);
    return std::hypot(x - centre.x, std::max({0.0, free.from - centre.y, centre.y - free.to}));
  };
  return std::min({length(left), length(right), length(valley(left, right, 60, length))});
}

std::optional<double> turn_rad(const Field& field, double clearance, const Points& hull, const vision::Pose2& pose,
                               double step) {
  const auto fits = [&](double turn) {
    return fits_at(field, clearance, hull, {pose.origin_mm, pose.angle_rad + turn});
  };
  if (fits(0.0)) return 0.0;
  std::optional<double> best;
  for (double turn = step; turn <= kPi + step; turn += step) {
    for (const double sense : {1.0, -1.0}) {
      if (!fits(sense * turn)) continue;
      const double at = border(turn, turn - step, [&](double t) { return fits(sense * t); });
      if (!best || at < std::abs(*best)) best = sense * at;
    }
    if (best) return best;
  }
  return best;
}

std::optional<double> nearest_mm(const Field& field, double clearance, const Points& hull, const vision::Pose2& pose,
                                 double reach, double step) {
  double best = kFar, at = 0.0;
  const auto length = [&](double turn) {
    if (reach * std::abs(turn) >= best) return kFar;
    const auto slide = slide_mm(field, clearance, turned_by(hull, pose.angle_rad + turn), pose.origin_mm);
    return slide ? std::hypot(*slide, reach * turn) : kFar;
  };
  const auto look = [&](double turn) {
    if (const double d = length(turn); d < best) best = d, at = turn;
  };
  look(0.0);
  for (double turn = step; turn < kPi + step && reach * turn < best; turn += step) look(turn), look(-turn);
  if (best >= kFar) return std::nullopt;
  // Around the best sample ever finer, past whatever is impossible there.
  for (double fine = step; fine > 1e-11; fine *= 0.5) {
    const double middle = at;
    for (const int k : {-2, -1, 1, 2}) look(middle + 0.5 * k * fine);
  }
  return best;
}

}  // namespace by_search
