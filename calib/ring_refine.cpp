#include "calib/ring_refine.h"

#include <algorithm>
#include <cmath>

#include "calib/outline_shapes.h"

namespace calib {
namespace {

constexpr double kStepMm = 0.1, kSmoothMm = 0.25;
constexpr float kLeastStep = 2.0F;  // grey levels
constexpr double kGateMm = 0.3;
// What a moulded ring's outline may differ from a simple shape, robustly; more makes it a shape of its own.
constexpr double kGoodMm = 0.12;
constexpr double kBelongsMm = 0.4;
constexpr double kBendReachMm = 6.0;

struct Step {
  double at_mm = 0.0;
  float size = 0.0F;
};

// The steepest step of the given sense (0: either) between two columns, to less than a column.
Step steepest(const cv::Mat1f& steps, int row, int from, int to, float sense, float least, const Strip& strip) {
  int best = -1;
  float size = least;
  const auto value = [&](int c) { return sense == 0.0F ? std::abs(steps(row, c)) : sense * steps(row, c); };
  for (int c = std::max(from, 1); c <= std::min(to, steps.cols - 2); ++c) {
    const float here = value(c);
    if (here > size && here >= value(c - 1) && here > value(c + 1)) best = c, size = here;
  }
  if (best < 0) return {};
  const double before = static_cast<double>(value(best - 1)), here = static_cast<double>(size),
               after = static_cast<double>(value(best + 1));
  const double curve = before - 2.0 * here + after;
  return {strip.at_mm(best + (curve < -1e-9 ? 0.5 * (before - after) / curve : 0.0)), steps(row, best)};
}

void measure_seen(const EdgePoints& edge, const Contour& contour, const ShapeFit& shape, RefinedRing& refined) {
  size_t next = 0, seen = 0, run = 0, longest = 0;
  const size_t n = contour.size();
  std::vector<char> belongs(n, 0);
  for (size_t i = 0; i < n; ++i) {
    if (!edge.seen[i]) continue;
    belongs[i] = std::abs(distance_mm(shape, edge.at_mm[next++])) < kBelongsMm ? 1 : 0;
  }
  for (size_t i = 0; i < 2 * n; ++i) {
    run = belongs[i % n] ? 0 : run + 1;
    longest = std::max(longest, std::min(run, n));
    if (i < n) seen += belongs[i] ? 1 : 0;
  }
  refined.seen_share = static_cast<double>(seen) / static_cast<double>(std::max<size_t>(1, n));
  const double spacing = n > 1 ? cv::norm(contour[1].at_mm - contour[0].at_mm) : 1.0;
  refined.longest_gap_mm = static_cast<double>(longest) * spacing;
}

double median_of(std::vector<double>& values) {
  const auto middle = values.begin() + static_cast<long>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

// An outline of its own: the nearest simple shape, bent to the points by their running median.
std::vector<cv::Point2d> bent(const ShapeFit& shape, const std::vector<cv::Point2d>& points) {
  std::vector<cv::Point2d> outline;
  for (const ContourPoint& place : contour_of(shape)) {
    std::vector<double> off;
    for (const cv::Point2d& p : points) {
      const cv::Point2d d = p - place.at_mm;
      if (d.dot(d) < kBendReachMm * kBendReachMm) off.push_back(distance_mm(shape, p));
    }
    const double bend = off.size() < 3 ? 0.0 : median_of(off);
    outline.push_back(vision::apply_inverse(shape.board_from_shape, place.at_mm + bend * place.outward));
  }
  return outline;
}

std::vector<cv::Point2d> inner_outline(const RefinedRing& ring) {
  const ShapeFit& shape = ring.shape;
  const bool rectangle = shape.shape == RingShape::rectangle || shape.shape == RingShape::square;
  if (shape.fits && rectangle && shape.radius_mm > ring.width_mm + 1.0) {
    return rounded_rectangle(2.0 * (shape.half_width_mm - ring.width_mm), 2.0 * (shape.half_height_mm - ring.width_mm),
                             shape.radius_mm - ring.width_mm);
  }
  return shifted(contour_of(ring.outer_mm, 1.0, 1.0), -ring.width_mm);
}

bool all_in_frame(const RingScene& scene, const Contour& contour) {
  const vision::PlaneView view = scene.view(vision::kOuterEdgeDropMm);
  return std::all_of(contour.begin(), contour.end(), [&](const ContourPoint& point) {
    const cv::Point2d px = view.image(point.at_mm);
    return px.x >= 2.0 && px.y >= 2.0 && px.x <= scene.grey.cols - 3.0 && px.y <= scene.grey.rows - 3.0;
  });
}

}  // namespace

EdgePoints outer_edge(const RingScene& scene, const Contour& contour, Boundary boundary, double inwards_mm,
                      double outwards_mm) {
  constexpr double kMargin = 1.0;
  const Strip strip = unrolled(scene.grey, scene.view(vision::kOuterEdgeDropMm), contour, -inwards_mm - kMargin,
                               outwards_mm + kMargin, kStepMm);
  // A faint one is averaged over a longer stretch.
  const bool faint = boundary == Boundary::faint_gap;
  const cv::Mat1f steps = steps_across(strip, kSmoothMm, faint ? 8 : 1);
  const float least = faint ? 0.4F * kLeastStep : kLeastStep;
  const int from = static_cast<int>(std::lround(kMargin / kStepMm));
  const int to = steps.cols - 1 - from;
  // Into a gap it gets darker; a plain edge has the sense of most of its steps.
  float sense = -1.0F;
  if (boundary == Boundary::step) {
    float sum = 0.0F;
    for (int r = 0; r < steps.rows; ++r) sum += steepest(steps, r, from, to, 0.0F, least, strip).size;
    sense = sum < 0.0F ? -1.0F : 1.0F;
  }
  EdgePoints edge;
  edge.seen.assign(contour.size(), 0);
  for (int r = 0; r < steps.rows; ++r) {
    const Step step = steepest(steps, r, from, to, sense, least, strip);
    if (step.size == 0.0F) continue;
    const ContourPoint& point = contour[static_cast<size_t>(r)];
    edge.at_mm.push_back(point.at_mm + step.at_mm * point.outward);
    edge.seen[static_cast<size_t>(r)] = 1;
  }
  return edge;
}

bool refine_ring(const RingScene& scene, const RingLines& lines, RefinedRing& refined) {
  ShapeFit shape = lines.outer;
  Contour contour = contour_of(shape);
  refined.in_frame = all_in_frame(scene, contour);
  const bool gap = lines.boundary != Boundary::step;
  EdgePoints edge;
  for (int round = 0; round < 3; ++round) {
    const double inwards = round > 0 ? 0.6 : gap ? 1.3 : 0.8, outwards = round > 0 ? 0.6 : gap ? 0.3 : 0.8;
    edge = outer_edge(scene, contour, lines.boundary, inwards, outwards);
    if (edge.at_mm.size() < contour.size() / 4) return false;
    shape = fit_ring_shape(edge.at_mm, kGateMm, kGoodMm);
    if (!is_hoop_like(shape)) return false;
    contour = contour_of(shape);
  }
  edge = outer_edge(scene, contour, lines.boundary, 0.6, 0.6);
  measure_seen(edge, contour, shape, refined);
  refined.shape = shape;
  refined.rms_mm = shape.rms_mm;
  refined.outer_mm = shape.fits ? outline_of(shape) : bent(shape, edge.at_mm);
  std::vector<cv::Point2d> on_board = refined.outer_mm;
  for (cv::Point2d& p : on_board) p = vision::apply(shape.board_from_shape, p);
  const double most = std::min(kMostRimMm, lines.width_mm + 4.0);
  const std::optional<RimWidth> width =
      rim_width(scene, contour_of(std::move(on_board), 1.0), std::max(2.0, lines.width_mm - 2.0), most, 0.1);
  if (!width) return false;
  refined.width_mm = width->width_mm;
  refined.inner_by_wall = width->by_wall;
  refined.inner_share = width->score;
  refined.inner_mm = inner_outline(refined);
  return true;
}

}  // namespace calib
