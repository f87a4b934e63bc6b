#include "app/render/ring_solid.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace app {
namespace {

constexpr float kNever = std::numeric_limits<float>::infinity();
constexpr float kNotchReachMm = 6.0F;

// How far below the rim a ray enters a half-space that is bounded by a vertical wall with a rounded upper edge.
// `distance` is the ray's distance into the material at the rim, `rate` its change for each mm further down.
float entry(float distance, float rate, float radius) {
  if (distance >= radius) return 0.0F;
  // On the quarter circle: (radius - distance(u))^2 + (radius - u)^2 = radius^2.
  const float a = radius - distance, half_b = a * rate + radius, square = 1.0F + rate * rate;
  const float root = half_b * half_b - square * a * a;
  if (root >= 0.0F) {
    const float on_round = (half_b - std::sqrt(root)) / square;
    if (on_round <= radius) return std::max(on_round, 0.0F);
  }
  return rate > 1e-6F ? std::max(-distance / rate, radius) : kNever;
}

RayPatch::Wall wall_around(const OutlineField& field, const OutlineDistances& at_rim, const DownRay& ray, bool inner,
                           float depth, float radius) {
  const auto pick = [inner](const OutlineDistances& d, cv::Point2f& gradient) {
    gradient = inner ? d.inner_gradient : d.outer_gradient;
    return inner ? d.inner : d.outer;
  };
  RayPatch::Wall wall;
  wall.at_rim = pick(at_rim, wall.at_rim_gradient);
  wall.at_rim_rate = wall.at_rim_gradient.dot(ray.per_mm);
  wall.depth = std::min(entry(wall.at_rim, wall.at_rim_rate, radius), depth);
  wall.at_depth = wall.at_rim, wall.at_depth_rate = wall.at_rim_rate, wall.at_depth_gradient = wall.at_rim_gradient;
  if (wall.depth >= radius) {
    wall.at_depth = pick(field.at(ray.at_rim + ray.per_mm * wall.depth), wall.at_depth_gradient);
    wall.at_depth_rate = wall.at_depth_gradient.dot(ray.per_mm);
  }
  return wall;
}

float entry_beside(const RayPatch::Wall& wall, cv::Point2f offset, float radius) {
  const float at_rim = wall.at_rim + wall.at_rim_gradient.dot(offset);
  if (at_rim >= radius || wall.depth < radius) return entry(at_rim, wall.at_rim_rate, radius);
  const float at_depth = wall.at_depth + wall.at_depth_gradient.dot(offset);
  return entry(at_depth - wall.at_depth_rate * wall.depth, wall.at_depth_rate, radius);
}

RingSurface surface_at(float below, float radius) {
  if (below <= 0.0F) return RingSurface::top;
  return below < radius ? RingSurface::rounding : RingSurface::wall;
}

cv::Point2f unit(cv::Point2f v) {
  const float length = std::sqrt(v.dot(v));
  return length > 0.0F ? v * (1.0F / length) : cv::Point2f(1.0F, 0.0F);
}

cv::Point2f to_float(cv::Point2d p) { return {static_cast<float>(p.x), static_cast<float>(p.y)}; }

// Unit vector from the outline into the ring at a point of the inner outline.
cv::Point2d into_ring(const std::vector<cv::Point2d>& inner, cv::Point2d at) {
  constexpr double kStep = 0.5;
  const cv::Point2d gradient(
      signed_distance(inner, at + cv::Point2d(kStep, 0)) - signed_distance(inner, at - cv::Point2d(kStep, 0)),
      signed_distance(inner, at + cv::Point2d(0, kStep)) - signed_distance(inner, at - cv::Point2d(0, kStep)));
  const double length = std::sqrt(gradient.dot(gradient));
  return length > 0.0 ? cv::Point2d(-gradient.x / length, -gradient.y / length) : cv::Point2d(0.0, 1.0);
}

}  // namespace

RingSolid::RingSolid(const vision::Hoop& hoop) : field_(hoop.inner_mm, hoop.outer_mm) {
  for (const vision::Notch& notch : hoop.notches) cut_notch(hoop, notch);
}

void RingSolid::cut_notch(const vision::Hoop& hoop, const vision::Notch& notch) {
  const cv::Point2d out = into_ring(hoop.inner_mm, notch.at_mm), along(-out.y, out.x);
  const double half = kNotchWidthMm / 2.0, length = std::hypot(half, kNotchDepthMm);
  for (int tooth = 0; tooth < notch.teeth; ++tooth) {
    const cv::Point2d mouth = notch.at_mm + along * (kNotchPitchMm * (tooth - (notch.teeth - 1) / 2.0));
    const cv::Point2d tip = mouth + out * kNotchDepthMm;
    Groove groove;
    groove.mouth = to_float(mouth);
    const auto flank = [&](double side) {
      const cv::Point2d normal = (along * (side * kNotchDepthMm) + out * half) * (1.0 / length);
      return Flank{to_float(normal), static_cast<float>(normal.dot(tip))};
    };
    groove.left = flank(1.0);
    groove.right = flank(-1.0);
    grooves_.push_back(groove);
  }
}

bool RingSolid::near_notch(cv::Point2f p) const {
  return std::any_of(grooves_.begin(), grooves_.end(), [&](const Groove& groove) {
    const cv::Point2f d = p - groove.mouth;
    return d.dot(d) < kNotchReachMm * kNotchReachMm;
  });
}

RayPatch RingSolid::patch(const DownRay& ray, float depth, float radius) const {
  const OutlineDistances at_rim = field_.at(ray.at_rim);
  return {ray,
          depth,
          radius,
          wall_around(field_, at_rim, ray, true, depth, radius),
          wall_around(field_, at_rim, ray, false, depth, radius),
          near_notch(ray.at_rim)};
}

std::optional<RingHit> RingSolid::hit(const RayPatch& patch, cv::Point2f offset) const {
  const float from_inside = entry_beside(patch.inner, offset, patch.radius_mm);
  const float from_outside = entry_beside(patch.outer, offset, patch.radius_mm);
  RingHit hit;
  hit.below_rim_mm = std::max(from_inside, from_outside);
  if (!(hit.below_rim_mm <= patch.depth_mm)) return std::nullopt;
  hit.outward = unit((from_inside >= from_outside ? patch.inner : patch.outer).at_depth_gradient * -1.0F);
  if (patch.near_notch) cut_hit(patch, patch.ray.at_rim + offset, hit);
  if (!(hit.below_rim_mm <= patch.depth_mm)) return std::nullopt;
  hit.surface = surface_at(hit.below_rim_mm, patch.radius_mm);
  return hit;
}

// A groove takes away what lies between its flanks: the ray goes on until it enters one of them.
void RingSolid::cut_hit(const RayPatch& patch, cv::Point2f at_rim, RingHit& hit) const {
  for (const Groove& groove : grooves_) {
    const cv::Point2f d = at_rim - groove.mouth;
    if (d.dot(d) > kNotchReachMm * kNotchReachMm) continue;
    const auto flank_entry = [&](const Flank& flank) {
      return entry(flank.normal.dot(at_rim) - flank.offset, flank.normal.dot(patch.ray.per_mm), patch.radius_mm);
    };
    const float left = flank_entry(groove.left), right = flank_entry(groove.right);
    if (std::min(left, right) <= hit.below_rim_mm) continue;
    hit.below_rim_mm = std::min(left, right);
    hit.outward = (left < right ? groove.left.normal : groove.right.normal) * -1.0F;
    hit.in_notch = true;
  }
}

std::optional<RingHit> RingSolid::hit(const DownRay& ray, float depth, float radius) const {
  return hit(patch(ray, depth, radius), {0.0F, 0.0F});
}

std::optional<RingHit> RingSolid::hit_outer_ring(const RayPatch& patch, cv::Point2f offset, float gap, float width) {
  const float outside = -patch.outer.at_rim - patch.outer.at_rim_gradient.dot(offset), rate = -patch.outer.at_rim_rate;
  const float from_inside = entry(outside - gap, rate, patch.radius_mm);
  const float from_outside = entry(gap + width - outside, -rate, patch.radius_mm);
  const float below = std::max(from_inside, from_outside);
  if (!(below <= patch.depth_mm)) return std::nullopt;
  const cv::Point2f away = unit(patch.outer.at_rim_gradient * -1.0F);
  return RingHit{surface_at(below, patch.radius_mm), below, from_inside >= from_outside ? away * -1.0F : away, false};
}

}  // namespace app
