// The ring as a solid: vertical walls on the two outlines, notches cut through from the inner one, both edges of
// the top chamfered. Answers where a camera ray meets it.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "app/render/outline_field.h"
#include "vision/station.h"

namespace app {

inline constexpr double kNotchDepthMm = 2.5, kNotchWidthMm = 2.5, kNotchPitchMm = 3.8;

enum class RingSurface { top, bevel, wall };

struct RingHit {
  RingSurface surface = RingSurface::top;
  float below_rim_mm = 0.0F;
  cv::Point2f outward;  // unit normal of bevel or wall, in the plane, away from the material
  bool in_notch = false;
};

// A ray in the hoop frame: its point in the rim plane, and how it moves for each mm further down.
struct DownRay {
  cv::Point2f at_rim, per_mm;
};

class RingSolid {
 public:
  explicit RingSolid(const vision::Hoop& hoop);

  const OutlineField& field() const { return field_; }
  // Whether p is near enough to a notch that its cuts matter.
  bool near_notch(cv::Point2f p_in_hoop) const;

  // The first surface that the ray meets within `depth_mm` below the rim plane; nothing when it passes.
  std::optional<RingHit> hit(const DownRay& ray, float depth_mm, float bevel_mm) const;
  // The same for a second ring, `width_mm` wide, that lies around the first with a gap between them.
  std::optional<RingHit> hit_outer_ring(const DownRay& ray, float depth_mm, float bevel_mm, float gap_mm,
                                        float width_mm) const;

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

  OutlineField field_;
  std::vector<Groove> grooves_;
};

}  // namespace app
