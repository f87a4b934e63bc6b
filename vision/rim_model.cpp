#include "vision/rim_model.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "vision/geometry.h"

namespace vision {
namespace {

// A notch's teeth, with what their edges blur, lie within this of its middle along the outline.
constexpr double kNotchReachMm = 6.0;

double distance_to_outline(cv::Point2d p, const std::vector<cv::Point2d>& closed) {
  double best = 1e300;
  for (size_t i = 0; i < closed.size(); ++i) {
    const cv::Point2d a = closed[i], d = closed[(i + 1) % closed.size()] - a;
    const double length2 = std::max(d.dot(d), 1e-12);
    const double t = std::clamp((p - a).dot(d) / length2, 0.0, 1.0);
    best = std::min(best, cv::norm(p - a - t * d));
  }
  return best;
}

void append_outline(const std::vector<cv::Point2d>& outline, const std::vector<cv::Point2d>& other, bool inner,
                    const Hoop& hoop, double spacing_mm, std::vector<OutlinePoint>& points) {
  const std::vector<cv::Point2d> even = resampled(outline, spacing_mm);
  const size_t n = even.size();
  for (size_t i = 0; i < n; ++i) {
    const cv::Point2d along = even[(i + 1) % n] - even[(i + n - 1) % n];
    const double length = cv::norm(along);
    if (!(length > 0.0)) continue;
    const cv::Point2d outward{along.y / length, -along.x / length};  // counter-clockwise outline
    OutlinePoint point;
    point.at_mm = even[i];
    point.away = inner ? -outward : outward;
    point.inner = inner;
    point.rim_width_mm = distance_to_outline(even[i], other);
    if (inner) {
      for (const Notch& notch : hoop.notches) {
        point.beside_notch = point.beside_notch || cv::norm(even[i] - notch.at_mm) < kNotchReachMm;
      }
    }
    points.push_back(point);
  }
}

// The largest distance between an outline and itself turned.
double misfit_after_turn(const std::vector<cv::Point2d>& outline, double angle_rad) {
  double worst = 0.0;
  for (const cv::Point2d& p : outline) {
    worst = std::max(worst, distance_to_outline(apply(Pose2{{0.0, 0.0}, angle_rad}, p), outline));
  }
  return worst;
}

// Below this two turned outlines look the same to the camera: about a third of a pixel.
constexpr double kSameOutlineMm = 0.35;

int symmetry_of(const Hoop& hoop) {
  const auto same = [&](double angle_rad) {
    return misfit_after_turn(hoop.inner_mm, angle_rad) < kSameOutlineMm &&
           misfit_after_turn(hoop.outer_mm, angle_rad) < kSameOutlineMm;
  };
  if (!same(kPi)) return 1;
  if (!same(kPi / 2.0)) return 2;
  return same(kPi / 4.0) && same(kPi / 8.0) ? 0 : 4;
}

}  // namespace

double outline_length_mm(const std::vector<cv::Point2d>& closed) {
  double length = 0.0;
  for (size_t i = 0; i < closed.size(); ++i) length += cv::norm(closed[(i + 1) % closed.size()] - closed[i]);
  return length;
}

std::vector<cv::Point2d> resampled(const std::vector<cv::Point2d>& closed, double spacing_mm) {
  const double length = outline_length_mm(closed);
  const int count = std::max(8, static_cast<int>(std::lround(length / spacing_mm)));
  const double step = length / count;
  std::vector<cv::Point2d> even;
  even.reserve(static_cast<size_t>(count));
  double next = 0.0, passed = 0.0;
  for (size_t i = 0; i < closed.size(); ++i) {
    const cv::Point2d a = closed[i], d = closed[(i + 1) % closed.size()] - a;
    const double piece = cv::norm(d);
    while (next < passed + piece && even.size() < static_cast<size_t>(count)) {
      even.push_back(a + d * ((next - passed) / piece));
      next += step;
    }
    passed += piece;
  }
  return even;
}

RimModel rim_model(const Hoop& hoop, double spacing_mm) {
  RimModel model;
  model.inner_edge_drop_mm = hoop.inner_edge_drop_mm;
  model.outer_edge_drop_mm = hoop.outer_edge_drop_mm;
  append_outline(hoop.inner_mm, hoop.outer_mm, true, hoop, spacing_mm, model.points);
  model.inner_count = static_cast<int>(model.points.size());
  append_outline(hoop.outer_mm, hoop.inner_mm, false, hoop, spacing_mm, model.points);
  for (OutlinePoint& point : model.points) {
    double least = std::numeric_limits<double>::infinity();
    for (size_t i = 0; i < model.points.size(); ++i) {
      const double apart = cv::norm(model.points[i].at_mm - point.at_mm);
      if (model.points[i].inner == point.inner || apart >= least) continue;
      least = apart;
      point.opposite = i;
    }
  }
  double sum = 0.0;
  for (const OutlinePoint& point : model.points) {
    model.reach_mm = std::max(model.reach_mm, cv::norm(point.at_mm));
    if (point.inner) sum += cv::norm(point.at_mm);
  }
  model.mean_radius_mm = sum / std::max(1, model.inner_count);
  model.symmetry = symmetry_of(hoop);
  return model;
}

}  // namespace vision
