#include "calib/ring_lines.h"

#include <algorithm>
#include <cmath>
#include <opencv2/core.hpp>

#include "calib/closed_path.h"

namespace calib {
namespace {

constexpr double kLookMm = 24.0, kStepMm = 0.25;
constexpr float kHalfLevel = 2.5F;  // grey levels of a dark line or a step that count half
constexpr double kGateMm = 0.5;
constexpr double kGoodMm = 0.5;      // a path in steps of a quarter of a millimetre
constexpr double kLeastLine = 0.35;  // of a dark line or a step all round
constexpr int kLinesTried = 3;
constexpr double kCrossedCost = 4.0;
constexpr double kEdgeOutsideMm = 0.75, kEdgeInsideMm = 0.3;
constexpr double kFootAloneCost = 0.1;  // a foot without an edge above it is less likely than an edge without a foot
constexpr double kPlainGap = 3.0;       // of RingLines::score
// Outside the gap the outer ring begins within half a millimetre or so; its other edge lies within:
constexpr double kOuterRingFromMm = 2.5, kOuterRingToMm = 15.0;

cv::Mat1f share_of(const cv::Mat1f& levels) {
  cv::Mat1f share(levels.size());
  for (int r = 0; r < levels.rows; ++r) {
    for (int c = 0; c < levels.cols; ++c) {
      const float size = std::abs(levels(r, c));
      share(r, c) = std::isfinite(size) ? size / (size + kHalfLevel) : 0.0F;
    }
  }
  return share;
}

struct Line {
  std::vector<cv::Point2d> at_mm;
  double score = 0.0;
  Boundary kind = Boundary::step;
};

// The best closed lines of a map, each with its surroundings taken out before the next.
void take_lines(cv::Mat1f share, const Strip& strip, const Contour& contour, Boundary kind, std::vector<Line>& lines) {
  constexpr int kAround = 7;  // columns
  for (int k = 0; k < kLinesTried; ++k) {
    const ClosedPath path = closed_path(share, 1, 0.05F);
    if (path.mean < kLeastLine) return;
    Line line{{}, path.mean, kind};
    for (int r = 0; r < share.rows; ++r) {
      const int column = path.column[static_cast<size_t>(r)];
      const ContourPoint& point = contour[static_cast<size_t>(r)];
      line.at_mm.push_back(point.at_mm + strip.at_mm(column) * point.outward);
      const int from = std::max(0, column - kAround), to = std::min(share.cols, column + kAround + 1);
      share.row(r).colRange(from, to) = 0.0F;
    }
    lines.push_back(std::move(line));
  }
}

// The mean over the rows of each column.
std::vector<double> profile_of(const cv::Mat1f& share) {
  std::vector<double> profile(static_cast<size_t>(share.cols), 0.0);
  for (int r = 0; r < share.rows; ++r)
    for (int c = 0; c < share.cols; ++c)
      profile[static_cast<size_t>(c)] += static_cast<double>(share(r, c)) / share.rows;
  return profile;
}

// Only the tops of steps: a shadow that fades over millimetres has none. Each counts a little to either side.
cv::Mat1f tops_of(const cv::Mat1f& share, double spread_columns) {
  cv::Mat1f tops(share.size(), 0.0F);
  const int reach = static_cast<int>(std::ceil(2.0 * spread_columns));
  for (int r = 0; r < share.rows; ++r) {
    for (int c = 1; c + 1 < share.cols; ++c) {
      const float here = share(r, c);
      if (here <= 0.0F || here < share(r, c - 1) || here <= share(r, c + 1)) continue;
      for (int k = std::max(-reach, -c); k <= std::min(reach, share.cols - 1 - c); ++k) {
        const double fade = std::exp(-0.5 * k * k / (spread_columns * spread_columns));
        tops(r, c + k) = std::max(tops(r, c + k), here * static_cast<float>(fade));
      }
    }
  }
  return tops;
}

// How much of the way, 0 to 1, a step shows at each distance from the contour.
std::vector<double> edge_profile(const RingScene& scene, double below_mm, const Contour& contour, double first_mm,
                                 double last_mm, double step_mm) {
  constexpr double kSmooth = 0.3, kSpread = 0.15;
  const double margin = std::ceil(3.0 * kSmooth / step_mm) * step_mm;
  const Strip strip = unrolled(scene.grey, scene.view(below_mm), contour, first_mm - margin, last_mm + margin, step_mm);
  std::vector<double> profile = profile_of(tops_of(share_of(steps_across(strip, kSmooth, 4)), kSpread / step_mm));
  const auto cut = static_cast<long>(std::lround(margin / step_mm));
  return {profile.begin() + cut, profile.end() - cut};
}

struct Peak {
  double at = 0.0;  // index, between the samples
  double height = 0.0;
};

std::optional<Peak> highest(const std::vector<double>& profile) {
  std::optional<Peak> best;
  for (size_t i = 1; i + 1 < profile.size(); ++i) {
    const double before = profile[i - 1], here = profile[i], after = profile[i + 1];
    if (here < before || here <= after || (best && here <= best->height)) continue;
    const double curve = before - 2.0 * here + after;
    best = Peak{static_cast<double>(i) + (curve < -1e-12 ? 0.5 * (before - after) / curve : 0.0), here};
  }
  return best;
}

double outer_ring_score(const RingScene& scene, const Contour& gap) {
  const std::vector<double> profile = edge_profile(scene, 0.8, gap, kOuterRingFromMm, kOuterRingToMm, 0.25);
  // Its bevel ends before this; then its face, on which nothing shows.
  const std::vector<double> face = edge_profile(scene, 0.8, gap, 1.6, 2.4, 0.25);
  return *std::max_element(profile.begin(), profile.end()) - *std::max_element(face.begin(), face.end());
}

// How much of the rim's face has edges across it, 0 to 1: a ring's is bare but for its notches, while the lines of a
// grid or of grain run on across whatever lies between two others.
double crossed_share(const RingScene& scene, const Contour& outer, double width_mm) {
  constexpr int kApart = 2;  // points, a millimetre each
  const double from = -0.75 * width_mm, to = -0.3 * width_mm;
  const Strip strip = unrolled(scene.grey, scene.view(0.0), outer, from, to, std::max(0.3, 0.15 * width_mm));
  const int n = strip.grey.rows;
  int crossed = 0;
  for (int r = 0; r < n; ++r) {
    float most = 0.0F;
    for (int c = 0; c < strip.grey.cols; ++c) {
      const float here = strip.grey(r, c), on = strip.grey((r + kApart) % n, c);
      most = std::max(most, std::abs(on - here));
    }
    crossed += most > 2.0F * kHalfLevel + 0.05F * strip.grey(r, 0) ? 1 : 0;
  }
  return static_cast<double>(crossed) / std::max(1, n);
}

// A shape that is a line's, or runs parallel to one, as the ring's boundary. `shows`: how plainly, 0 to 1.
std::optional<RingLines> judged(const RingScene& scene, const ShapeFit& shape, Boundary boundary, double shows) {
  if (!is_hoop_like(shape)) return std::nullopt;
  RingLines lines;
  lines.outer = shape;
  const Contour contour = contour_of(shape);
  const std::optional<RimWidth> width = rim_width(scene, contour, kLeastRimMm, kMostRimMm, 0.2);
  if (!width) return std::nullopt;
  lines.width_mm = width->width_mm;
  lines.width_score = width->score;
  lines.inner_by_wall = width->by_wall;
  lines.boundary = boundary;
  lines.score = (boundary == Boundary::step ? 1.5 * shows : 2.0 * shows + outer_ring_score(scene, contour)) +
                width->score - kCrossedCost * crossed_share(scene, contour, lines.width_mm);
  return lines;
}

ShapeFit grown(ShapeFit shape, double by_mm) {
  shape.half_width_mm += by_mm;
  shape.half_height_mm += by_mm;
  if (shape.radius_mm > 0.0) shape.radius_mm = std::max(0.5, shape.radius_mm + by_mm);
  return shape;
}

// Dark here and bright there, and both faintly, as in a black ring on a bright board: the gap may be too little to be
// followed by itself. Along a plain line that runs parallel to it, long stretches can be averaged.
void take_faint_gaps(const RingScene& scene, const ShapeFit& beside, std::vector<RingLines>& rings) {
  constexpr int kAlong = 8;  // points, a millimetre each
  constexpr double kLeastFaint = 0.3;
  const Strip strip =
      unrolled(scene.grey, scene.view(vision::kOuterEdgeDropMm), contour_of(beside), -kLookMm, kLookMm, 0.2);
  const Strip negative{cv::Mat1f(-strip.grey), strip.first_mm, strip.step_mm};
  const cv::Mat dark = dark_lines(strip, kAlong), bright = dark_lines(negative, kAlong);
  cv::Mat either;
  cv::max(dark, bright, either);
  std::vector<double> profile = profile_of(share_of(cv::Mat1f(either)));
  for (int k = 0; k < kLinesTried; ++k) {
    const std::optional<Peak> peak = highest(profile);
    if (!peak || peak->height < kLeastFaint) return;
    const std::optional<RingLines> ring =
        judged(scene, grown(beside, strip.at_mm(peak->at)), Boundary::faint_gap, peak->height);
    if (ring) rings.push_back(*ring);
    const auto at = static_cast<long>(std::lround(peak->at)), reach = std::lround(1.5 / strip.step_mm);
    for (long i = std::max(0L, at - reach); i <= std::min(static_cast<long>(profile.size()) - 1, at + reach); ++i)
      profile[static_cast<size_t>(i)] = 0.0;
  }
}

std::vector<RingLines> along(const RingScene& scene, const Contour& contour) {
  const Strip strip = unrolled(scene.grey, scene.view(vision::kOuterEdgeDropMm), contour, -kLookMm, kLookMm, kStepMm);
  std::vector<Line> lines;
  take_lines(share_of(dark_lines(strip, 1)), strip, contour, Boundary::dark_gap, lines);
  take_lines(share_of(steps_across(strip, 0.4, 1)), strip, contour, Boundary::step, lines);
  std::vector<RingLines> rings;
  const Line* plainest = nullptr;
  for (const Line& line : lines) {
    if (line.kind == Boundary::step && (!plainest || line.score > plainest->score)) plainest = &line;
    const ShapeFit shape = fit_ring_shape(line.at_mm, kGateMm, kGoodMm);
    if (const std::optional<RingLines> found = judged(scene, shape, line.kind, line.score)) rings.push_back(*found);
  }
  const bool gap_is_plain = std::any_of(rings.begin(), rings.end(), [](const RingLines& ring) {
    return ring.boundary == Boundary::dark_gap && ring.score > kPlainGap;
  });
  if (!gap_is_plain && plainest) take_faint_gaps(scene, fit_ring_shape(plainest->at_mm, kGateMm, kGoodMm), rings);
  std::stable_sort(rings.begin(), rings.end(), [](const auto& a, const auto& b) { return a.score > b.score; });
  return rings;
}

}  // namespace

Contour contour_of(const ShapeFit& fit, double spacing_mm) {
  std::vector<cv::Point2d> outline = outline_of(fit);
  for (cv::Point2d& p : outline) p = vision::apply(fit.board_from_shape, p);
  return contour_of(std::move(outline), spacing_mm);
}

// What runs parallel to the outer edge, seen from the outside in: the rim's face, on which nothing does; its bevel and
// edge, at rim height; the foot of the inner wall, on the board straight below the edge. A camera above sees both, or
// one of them plainly and the other faintly: only at the true width do they go together.
std::optional<RimWidth> rim_width(const RingScene& scene, const Contour& outer, double least_mm, double most_mm,
                                  double step_mm) {
  const std::vector<double> rim = edge_profile(scene, vision::kInnerEdgeDropMm, outer, -most_mm, 0.0, step_mm);
  const std::vector<double> foot = edge_profile(scene, scene.rim_height_mm, outer, -most_mm, 0.0, step_mm);
  const auto index = [&](double width_mm) {
    return static_cast<size_t>(
        std::clamp(std::lround((most_mm - width_mm) / step_mm), 0L, static_cast<long>(rim.size()) - 1));
  };
  const auto most_between = [&](const std::vector<double>& profile, double wide_mm, double narrow_mm) {
    double most = 0.0;
    for (double w = narrow_mm; w <= wide_mm; w += step_mm) most = std::max(most, profile[index(w)]);
    return most;
  };
  // A rounded edge shows at its place or up to its radius outside it; the farther off, the less it speaks for that
  // place. Never as far off as the same line seen in the other plane.
  const auto edge_about = [&](double w) {
    double most = 0.0;
    for (double off = -kEdgeOutsideMm; off <= kEdgeInsideMm; off += step_mm) {
      const double far = off < -0.15 ? (-0.15 - off) / (kEdgeOutsideMm - 0.15) : (off + 0.15) / (kEdgeInsideMm + 0.15);
      most = std::max(most, rim[index(w + off)] * (1.0 - 0.7 * far));
    }
    return most;
  };
  RimWidth best;
  for (double w = least_mm; w <= most_mm - 0.5; w += step_mm) {
    const double edge = edge_about(w), wall = most_between(foot, w + 0.15, w - 0.15);
    const double on_face = w > 3.8 ? most_between(rim, w - 1.4, 2.3) : 0.0;
    const double score = edge + wall - on_face - (edge < 0.2 ? kFootAloneCost : 0.0);
    if (score > best.score) best = {w, score, wall > 0.3};
  }
  if (!(best.score > 0.0)) return std::nullopt;
  // To less than a step: the wall's foot where it shows, else the rim's edge.
  const std::vector<double>& profile = best.by_wall ? foot : rim;
  const double from = best.width_mm + (best.by_wall ? 0.35 : kEdgeInsideMm);
  const double to = best.width_mm - (best.by_wall ? 0.35 : kEdgeOutsideMm);
  std::vector<double> part(profile.begin() + static_cast<long>(index(from)),
                           profile.begin() + static_cast<long>(index(to)) + 1);
  if (const std::optional<Peak> peak = highest(part))
    best.width_mm = most_mm - (static_cast<double>(index(from)) + peak->at) * step_mm;
  return best;
}

std::vector<RingLines> ring_lines(const RingScene& scene, const RingLine& candidate) {
  std::vector<RingLines> rings =
      along(scene, candidate.shape.fits ? contour_of(candidate.shape) : contour_of(candidate.at_mm, 1.0, 6.0));
  if (rings.empty()) return rings;
  // Once more along the best: the candidate may have strayed from one line to another.
  std::vector<RingLines> again = along(scene, contour_of(rings.front().outer));
  return !again.empty() && again.front().score > rings.front().score ? again : rings;
}

}  // namespace calib
