#include "calib/ring_candidates.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "calib/closed_path.h"
#include "vision/geometry.h"

namespace calib {
namespace {

constexpr double kLeastRadiusMm = 25.0, kMostRadiusMm = 190.0, kRadiusStepMm = 1.5;
constexpr int kDirections = 112;
constexpr double kMiddleStepMm = 20.0;
constexpr int kReach = 5;  // radius steps a direction
constexpr double kLeastScore = 0.25, kShareOfBest = 0.7;
constexpr double kLeastCornerMm = 6.0;

// How well an edge lies across a ray: at each radius the surer of two samples.
void read_ray(const FlatPicture& flat, const cv::Mat2f& edges, cv::Point2d middle, cv::Point2d ray, cv::Mat1f reward) {
  const cv::Point2d first = flat.pixel(middle + kLeastRadiusMm * ray),
                    second = flat.pixel(middle + (kLeastRadiusMm + 1.0) * ray);
  const float scale = static_cast<float>(0.5 * kRadiusStepMm);
  const cv::Point2f step(static_cast<float>(second.x - first.x) * scale,
                         static_cast<float>(second.y - first.y) * scale);
  const cv::Vec2f along(static_cast<float>(ray.x), static_cast<float>(ray.y));
  cv::Point2f at(static_cast<float>(first.x) + 0.5F, static_cast<float>(first.y) + 0.5F);
  const float right = static_cast<float>(edges.cols), bottom = static_cast<float>(edges.rows);
  float* to = reward[0];
  for (int i = 0; i < 2 * reward.cols; ++i, at += step) {
    float across = 0.0F;
    if (at.x >= 0.0F && at.y >= 0.0F && at.x < right && at.y < bottom) {
      const cv::Vec2f& edge = edges(static_cast<int>(at.y), static_cast<int>(at.x));
      across = std::abs(edge[0] * along[0] + edge[1] * along[1]);
    }
    to[i / 2] = i % 2 == 0 ? across : std::max(to[i / 2], across);
  }
}

// Nothing where not even the best of each ray would score `least`.
std::optional<RingLine> best_around(const FlatPicture& flat, const cv::Mat2f& edges, cv::Point2d middle, double least) {
  const int radii = static_cast<int>((kMostRadiusMm - kLeastRadiusMm) / kRadiusStepMm) + 1;
  cv::Mat1f reward(kDirections, radii);
  std::vector<cv::Point2d> rays;
  double bound = 0.0;
  for (int k = 0; k < kDirections; ++k) {
    const double phi = 2.0 * vision::kPi * k / kDirections;
    const cv::Point2d ray{std::cos(phi), std::sin(phi)};
    rays.push_back(ray);
    const cv::Mat1f row = reward.row(k);
    read_ray(flat, edges, middle, ray, row);
    bound += static_cast<double>(*std::max_element(row.begin(), row.end())) / kDirections;
  }
  if (bound < least) return std::nullopt;
  const ClosedPath path = closed_path(reward, kReach, 0.015F);
  if (path.mean < least) return std::nullopt;
  RingLine line;
  line.score = path.mean;
  cv::Point2d sum{0.0, 0.0};
  for (int k = 0; k < kDirections; ++k) {
    const double radius = kLeastRadiusMm + path.column[static_cast<size_t>(k)] * kRadiusStepMm;
    line.at_mm.push_back(middle + radius * rays[static_cast<size_t>(k)]);
    sum += line.at_mm.back();
  }
  for (const cv::Point2d& p : line.at_mm) line.mean_radius_mm += cv::norm(p - sum * (1.0 / kDirections)) / kDirections;
  return line;
}

bool same_line(const RingLine& a, const RingLine& b) {
  return cv::norm(a.shape.board_from_shape.origin_mm - b.shape.board_from_shape.origin_mm) < 6.0 &&
         std::abs(a.mean_radius_mm - b.mean_radius_mm) < 4.0;
}

void take_best(const FlatPicture& flat, const cv::Mat2f& edges, int most, std::vector<RingLine>& best) {
  std::vector<RingLine> all;
  double best_score = 0.0;
  const double width = edges.cols * flat.mm_per_px, height = edges.rows * flat.mm_per_px;
  for (double y = kLeastRadiusMm; y < height - kLeastRadiusMm; y += kMiddleStepMm) {
    for (double x = kLeastRadiusMm; x < width - kLeastRadiusMm; x += kMiddleStepMm) {
      std::optional<RingLine> line = best_around(flat, edges, flat.first_mm + cv::Point2d(x, -y),
                                                 std::max(kLeastScore, kShareOfBest * best_score));
      if (!line) continue;
      best_score = std::max(best_score, line->score);
      all.push_back(std::move(*line));
    }
  }
  std::stable_sort(all.begin(), all.end(), [](const RingLine& a, const RingLine& b) { return a.score > b.score; });
  const size_t before = best.size();
  for (RingLine& line : all) {
    if (best.size() >= before + static_cast<size_t>(most)) break;
    line.shape = fit_ring_shape(line.at_mm, 1.5, 1.5);
    if (!is_hoop_like(line.shape)) continue;
    const bool known =
        std::any_of(best.begin(), best.end(), [&](const RingLine& kept) { return same_line(kept, line); });
    if (!known) best.push_back(std::move(line));
  }
}

}  // namespace

bool is_hoop_like(const ShapeFit& fit) {
  const bool rectangle = fit.shape == RingShape::rectangle || fit.shape == RingShape::square;
  const double small = std::min(fit.half_width_mm, fit.half_height_mm);
  const double large = std::max(fit.half_width_mm, fit.half_height_mm);
  return fit.rms_mm < 3.0 && small > 20.0 && large < 4.0 * small && !(rectangle && fit.radius_mm < kLeastCornerMm);
}

std::vector<RingLine> ring_candidates(const FlatPicture& flat, int most) {
  std::vector<RingLine> best;
  take_best(flat, flat.edges_of_areas, most, best);
  take_best(flat, flat.edges, most, best);
  return best;
}

}  // namespace calib
