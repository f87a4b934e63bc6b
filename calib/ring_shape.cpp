#include "calib/ring_shape.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "calib/outline_check.h"
#include "calib/outline_shapes.h"

namespace calib {
namespace {

using vision::kPi;
// Half axes that differ by less are taken for equal.
constexpr double kEvenMm = 0.3;
constexpr int kUnknowns = 6;  // x, y, angle, half width, half height, corner radius
using Unknowns = cv::Vec<double, kUnknowns>;

double rounded_box_distance(cv::Point2d p, double half_width, double half_height, double radius) {
  const double x = std::abs(p.x) - (half_width - radius), y = std::abs(p.y) - (half_height - radius);
  const double right = std::max(x, 0.0), up = std::max(y, 0.0);
  return std::sqrt(right * right + up * up) + std::min(std::max(x, y), 0.0) - radius;
}

ShapeFit shape_of(RingShape shape, const Unknowns& x) {
  ShapeFit fit;
  fit.shape = shape;
  fit.board_from_shape = {{x[0], x[1]}, x[2]};
  fit.half_width_mm = x[3];
  fit.half_height_mm = shape == RingShape::round ? x[3] : x[4];
  fit.radius_mm = shape == RingShape::rectangle ? x[5] : 0.0;
  return fit;
}

// Exact to second order near the ellipse, which is where it matters; off by less than 0.1 mm at 2 mm.
double ellipse_distance(cv::Point2d p, double a, double b) {
  double distance = 0.0;
  for (int round = 0; round < 2; ++round) {
    const double value = p.x * p.x / (a * a) + p.y * p.y / (b * b) - 1.0;
    const cv::Point2d slope(2.0 * p.x / (a * a), 2.0 * p.y / (b * b));
    const double length = std::max(std::sqrt(slope.dot(slope)), 1e-9), step = value / length;
    distance += step;
    p -= step / length * slope;
  }
  return distance;
}

// Distances to a shape, its rotation kept.
class Measure {
 public:
  explicit Measure(const ShapeFit& fit)
      : fit_(fit), c_(std::cos(fit.board_from_shape.angle_rad)), s_(std::sin(fit.board_from_shape.angle_rad)) {}
  double distance_mm(cv::Point2d p_in_board) const {
    const cv::Point2d d = p_in_board - fit_.board_from_shape.origin_mm, p(c_ * d.x + s_ * d.y, c_ * d.y - s_ * d.x);
    if (fit_.shape == RingShape::round) return std::sqrt(p.dot(p)) - fit_.half_width_mm;
    if (fit_.shape == RingShape::oval) return ellipse_distance(p, fit_.half_width_mm, fit_.half_height_mm);
    return rounded_box_distance(p, fit_.half_width_mm, fit_.half_height_mm, fit_.radius_mm);
  }

 private:
  ShapeFit fit_;
  double c_, s_;
};

double median_of(std::vector<double> values) {
  if (values.empty()) return 1e9;
  const auto middle = values.begin() + static_cast<long>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

double tukey(double residual, double gate) {
  const double ratio = residual / gate;
  return std::abs(ratio) < 1.0 ? (1.0 - ratio * ratio) * (1.0 - ratio * ratio) : 0.0;
}

std::vector<double> distances(const ShapeFit& fit, const std::vector<cv::Point2d>& points) {
  std::vector<double> d;
  d.reserve(points.size());
  const Measure measure(fit);
  for (const cv::Point2d& p : points) d.push_back(measure.distance_mm(p));
  return d;
}

// Tukey's weights with a gate that follows the scatter down to gate_mm.
std::vector<double> weights_for(const std::vector<double>& d, double gate_mm, double* scatter_mm = nullptr) {
  std::vector<double> size;
  size.reserve(d.size());
  for (const double v : d) size.push_back(std::abs(v));
  const double scatter = 1.48 * median_of(size);
  if (scatter_mm) *scatter_mm = scatter;
  const double gate = std::max(gate_mm, 4.0 * scatter);
  std::vector<double> w;
  w.reserve(d.size());
  for (const double v : d) w.push_back(tukey(v, gate));
  return w;
}

void judge(ShapeFit& fit, const std::vector<cv::Point2d>& points, double gate_mm) {
  const std::vector<double> d = distances(fit, points);
  const std::vector<double> w = weights_for(d, gate_mm, &fit.scatter_mm);
  double sum = 0.0, all = 0.0;
  for (size_t i = 0; i < d.size(); ++i) sum += w[i] * d[i] * d[i], all += w[i];
  fit.rms_mm = all > 0.0 ? std::sqrt(sum / all) : 1e9;
  if (!std::isfinite(fit.rms_mm) || !std::isfinite(fit.scatter_mm)) fit.rms_mm = fit.scatter_mm = 1e9;
}

Unknowns start_of(const std::vector<cv::Point2d>& points) {
  std::vector<cv::Point2f> single;
  single.reserve(points.size());
  for (const cv::Point2d& p : points) single.emplace_back(static_cast<float>(p.x), static_cast<float>(p.y));
  const cv::RotatedRect box = cv::minAreaRect(single);
  const double w = 0.5 * static_cast<double>(box.size.width), h = 0.5 * static_cast<double>(box.size.height);
  // What the corners lack of the box's area tells their radius: 4 r^2 - pi r^2.
  const double lacking = std::max(0.0, 4.0 * w * h - std::abs(signed_area(points)));
  const double radius = std::clamp(std::sqrt(lacking / (4.0 - kPi)), 5.0, 0.95 * std::min(w, h));
  return {static_cast<double>(box.center.x),
          static_cast<double>(box.center.y),
          static_cast<double>(box.angle) * vision::kRadPerDeg,
          w,
          h,
          radius};
}

// x and y, angle, the half axes, the radius: those that a shape has.
std::array<bool, kUnknowns> unknowns_of(RingShape shape) {
  const bool round = shape == RingShape::round;
  return {true, true, !round, true, !round, shape == RingShape::rectangle};
}

// One step of Gauss and Newton with Tukey's weights; false when it has settled or cannot go on.
bool adjust(RingShape shape, Unknowns& x, const std::vector<cv::Point2d>& points, double gate_mm, double settled_mm) {
  const std::vector<double> d = distances(shape_of(shape, x), points);
  const std::vector<double> w = weights_for(d, gate_mm);
  constexpr std::array<double, kUnknowns> kSlip{1e-4, 1e-4, 1e-6, 1e-4, 1e-4, 1e-4};
  const std::array<bool, kUnknowns> free = unknowns_of(shape);
  std::vector<Measure> beside;
  for (size_t k = 0; k < kUnknowns; ++k) {
    Unknowns moved = x;
    moved[static_cast<int>(k)] += kSlip[k];
    beside.emplace_back(shape_of(shape, moved));
  }
  cv::Matx<double, kUnknowns, kUnknowns> normal = cv::Matx<double, kUnknowns, kUnknowns>::zeros();
  Unknowns right = Unknowns::all(0.0);
  for (size_t i = 0; i < points.size(); ++i) {
    if (w[i] <= 0.0) continue;
    Unknowns j = Unknowns::all(0.0);
    for (size_t k = 0; k < kUnknowns; ++k) {
      if (free[k]) j[static_cast<int>(k)] = (beside[k].distance_mm(points[i]) - d[i]) / kSlip[k];
    }
    normal += w[i] * (j * j.t());
    right -= w[i] * d[i] * j;
  }
  for (int k = 0; k < kUnknowns; ++k) normal(k, k) += free[static_cast<size_t>(k)] ? 1e-6 * normal(k, k) + 1e-9 : 1.0;
  Unknowns step;
  if (!cv::solve(normal, right, step, cv::DECOMP_CHOLESKY)) return false;
  x += step;
  x[3] = std::max(x[3], 5.0), x[4] = std::max(x[4], 5.0);
  x[5] = std::clamp(x[5], 0.5, std::min(x[3], x[4]));
  return cv::norm(step) > settled_mm;
}

ShapeFit fit_shape(RingShape shape, const std::vector<cv::Point2d>& points, double gate_mm) {
  if (points.size() < 12) return {};
  Unknowns x = start_of(points);
  if (shape == RingShape::round) x[2] = 0.0, x[3] = 0.5 * (x[3] + x[4]);
  for (int round = 0; round < 25; ++round) {
    if (!adjust(shape, x, points, gate_mm, 0.003 * gate_mm)) break;
  }
  ShapeFit fit = shape_of(shape, x);
  judge(fit, points, gate_mm);
  return fit;
}

}  // namespace

double distance_mm(const ShapeFit& fit, cv::Point2d p_in_board) { return Measure(fit).distance_mm(p_in_board); }

std::vector<cv::Point2d> outline_of(const ShapeFit& fit) {
  if (fit.shape == RingShape::round || fit.shape == RingShape::oval)
    return ellipse_outline(fit.half_width_mm, fit.half_height_mm);
  return rounded_rectangle(2.0 * fit.half_width_mm, 2.0 * fit.half_height_mm, fit.radius_mm);
}

ShapeFit fit_ring_shape(const std::vector<cv::Point2d>& all, double gate_mm, double good_mm) {
  // A rough fit needs no more than this.
  constexpr double kRoughMm = 0.5;
  const size_t every = gate_mm < kRoughMm ? 1 : std::max<size_t>(1, all.size() / 120);
  std::vector<cv::Point2d> points;
  for (size_t i = 0; i < all.size(); i += every) points.push_back(all[i]);
  const std::array<ShapeFit, 3> fits{fit_shape(RingShape::round, points, gate_mm),
                                     fit_shape(RingShape::oval, points, gate_mm),
                                     fit_shape(RingShape::rectangle, points, gate_mm)};
  double best = 1e9;
  for (const ShapeFit& fit : fits) best = std::min(best, fit.scatter_mm);
  for (const ShapeFit& fit : fits) {
    if (!(fit.scatter_mm <= 1.25 * best + 0.02)) continue;
    ShapeFit chosen = fit;
    const double uneven = std::abs(chosen.half_width_mm - chosen.half_height_mm);
    const bool oval = chosen.shape == RingShape::oval;
    if ((oval || chosen.shape == RingShape::rectangle) && uneven < kEvenMm) {
      chosen.shape = oval ? RingShape::round : RingShape::square;
      chosen.half_width_mm = chosen.half_height_mm = 0.5 * (chosen.half_width_mm + chosen.half_height_mm);
    }
    chosen.fits = chosen.scatter_mm <= good_mm;
    return chosen;
  }
  return {};
}

}  // namespace calib
