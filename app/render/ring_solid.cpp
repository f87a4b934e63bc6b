#include "app/render/ring_solid.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace app {
namespace {

constexpr float kNever = std::numeric_limits<float>::infinity();
constexpr float kNotchReachMm = 6.0F;

// How far below the rim a ray enters a half-space that is bounded by a chamfered vertical wall. `distance` is the
// ray's distance into the material at the rim, `rate` its change for each mm further down.
float entry(float distance, float rate, float bevel) {
  if (distance >= bevel) return 0.0F;
  const float on_bevel = (bevel - distance) / std::max(1.0F + rate, 0.1F);
  if (on_bevel <= bevel) return on_bevel;
  return rate > 1e-6F ? std::max(-distance / rate, bevel) : kNever;
}

// A second step of the same search, with the distance measured at the first guess.
float refined(float guess, float distance_there, float rate, float bevel) {
  if (!(guess > 0.0F) || guess == kNever) return guess;
  if (guess < bevel) return guess + (bevel - guess - distance_there) / std::max(1.0F + rate, 0.1F);
  return rate > 1e-6F ? std::max(guess - distance_there / rate, bevel) : kNever;
}

RingSurface surface_at(float below, float bevel) {
  if (below <= 0.0F) return RingSurface::top;
  return below < bevel ? RingSurface::bevel : RingSurface::wall;
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

std::optional<RingHit> RingSolid::hit(const DownRay& ray, float depth, float bevel) const {
  const OutlineDistances start = field_.at(ray.at_rim);
  const auto side = [&](bool inner) {
    const float distance = inner ? start.inner : start.outer;
    const float rate = (inner ? start.inner_gradient : start.outer_gradient).dot(ray.per_mm);
    const float guess = std::min(entry(distance, rate, bevel), depth);
    if (guess <= 0.0F) return 0.0F;
    if (guess >= depth && rate <= 0.0F) return kNever;
    const OutlineDistances there = field_.at(ray.at_rim + ray.per_mm * guess);
    return refined(guess, inner ? there.inner : there.outer, rate, bevel);
  };
  float from_inside = side(true), from_outside = side(false);
  if (!(std::max(from_inside, from_outside) <= depth)) return std::nullopt;

  RingHit hit;
  hit.outward = from_inside >= from_outside ? unit(start.inner_gradient * -1.0F) : unit(start.outer_gradient * -1.0F);
  hit.below_rim_mm = std::max(from_inside, from_outside);
  for (const Groove& groove : grooves_) {
    const cv::Point2f d = ray.at_rim - groove.mouth;
    if (d.dot(d) > kNotchReachMm * kNotchReachMm) continue;
    const auto flank_entry = [&](const Flank& flank) {
      return entry(flank.normal.dot(ray.at_rim) - flank.offset, flank.normal.dot(ray.per_mm), bevel);
    };
    const float left = flank_entry(groove.left), right = flank_entry(groove.right);
    if (std::min(left, right) <= hit.below_rim_mm) continue;
    hit.below_rim_mm = std::min(left, right);
    hit.outward = (left < right ? groove.left.normal : groove.right.normal) * -1.0F;
    hit.in_notch = true;
  }
  if (!(hit.below_rim_mm <= depth)) return std::nullopt;
  hit.surface = surface_at(hit.below_rim_mm, bevel);
  return hit;
}

std::optional<RingHit> RingSolid::hit_outer_ring(const DownRay& ray, float depth, float bevel, float gap,
                                                 float width) const {
  const OutlineDistances start = field_.at(ray.at_rim);
  const float outside = -start.outer, rate = -start.outer_gradient.dot(ray.per_mm);
  const float from_inside = entry(outside - gap, rate, bevel);
  const float from_outside = entry(gap + width - outside, -rate, bevel);
  const float below = std::max(from_inside, from_outside);
  if (!(below <= depth)) return std::nullopt;
  const cv::Point2f away = unit(start.outer_gradient * -1.0F);
  return RingHit{surface_at(below, bevel), below, from_inside >= from_outside ? away * -1.0F : away, false};
}

}  // namespace app
