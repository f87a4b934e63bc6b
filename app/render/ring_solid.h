// The ring as a solid: vertical walls on the two outlines, notches cut through from the inner one, both edges of
// the top rounded. Answers where a camera ray meets it.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "app/render/outline_field.h"
#include "vision/station.h"

namespace app {

inline constexpr double kNotchDepthMm = 2.5, kNotchWidthMm = 2.5, kNotchPitchMm = 3.8;

enum class RingSurface { top, rounding, wall };

struct RingHit {
  RingSurface surface = RingSurface::top;
  float below_rim_mm = 0.0F;
  cv::Point2f outward;  // unit normal of rounding or wall, in the plane, away from the material
  bool in_notch = false;
};

// A ray in the hoop frame: its point in the rim plane, and how it moves for each mm further down.
struct DownRay {
  cv::Point2f at_rim, per_mm;
};

// The ring's walls as they are around one ray: distances vary linearly there, so that many neighbouring rays can be
// followed at little cost.
struct RayPatch {
  // One of the two walls, distances positive in the material.
  struct Wall {
    float at_rim = 0.0F, at_rim_rate = 0.0F;  // where the ray leaves the rim plane; change for each mm further down
    cv::Point2f at_rim_gradient;
    float depth = 0.0F, at_depth = 0.0F, at_depth_rate = 0.0F;  // near where it meets the wall
    cv::Point2f at_depth_gradient;
  };
  DownRay ray;
  float depth_mm = 0.0F, radius_mm = 0.0F;
  Wall inner, outer;
  bool near_notch = false;
};

class RingSolid {
 public:
  explicit RingSolid(const vision::Hoop& hoop);

  const OutlineField& field() const { return field_; }
  // Whether p is near enough to a notch that its cuts matter.
  bool near_notch(cv::Point2f p_in_hoop) const;

  // `depth_mm`: how far the ground is below the rim plane; `radius_mm`: of the rounded edges.
  RayPatch patch(const DownRay& ray, float depth_mm, float radius_mm) const;
  // The first surface that the ray beside the patch's own meets; nothing when it passes. `offset`: mm in the rim
  // plane, small against the ring's width.
  std::optional<RingHit> hit(const RayPatch& patch, cv::Point2f offset) const;
  std::optional<RingHit> hit(const DownRay& ray, float depth_mm, float radius_mm) const;
  // The same for a second ring, `width_mm` wide, that lies around the first with a gap between them.
  static std::optional<RingHit> hit_outer_ring(const RayPatch& patch, cv::Point2f offset, float gap_mm, float width_mm);

 private:
  // One straight flank of a groove: material where dot(normal, p) > offset.
  struct Flank {
    cv::Point2f normal;
    float offset = 0.0F;
  };
  struct Groove {
    cv::Point2f mouth;
    Flank left, right;
  };
  void cut_notch(const vision::Hoop& hoop, const vision::Notch& notch);
  void cut_hit(const RayPatch& patch, cv::Point2f at_rim, RingHit& hit) const;

  OutlineField field_;
  std::vector<Groove> grooves_;
};

}  // namespace app
