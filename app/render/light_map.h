// What the ring does to the light on the cloth or board around it: its shadow, the darker crease beside its walls,
// and the ridge that the outer ring presses into the cloth. Tabulated in the hoop frame.
#pragma once

#include <opencv2/core.hpp>

#include "app/render/ring_solid.h"
#include "app/render/scene.h"
#include "app/render/shading.h"

namespace app {

inline constexpr float kOuterRingGapMm = 0.5F, kOuterRingWidthMm = 6.0F;

struct LightMap {
  cv::Mat1f factor;  // of the light on a flat open surface
  cv::Rect2d extent_mm;
  double mm_per_px = 0.75;
};

// To whole degrees, so that a ring that is being turned keeps its map for a while; shadows are soft.
double lamp_azimuth_in_hoop_deg(const Scene& scene);

// `ground_mm` is the cloth's or board's height. The light's direction is turned into the hoop frame.
LightMap light_map(const RingSolid& solid, const Scene& scene, double ground_mm);

// Height of the cloth above its plane over the outer ring, `outside` mm from the inner ring's outer outline, for a
// ring that stands `ridge_mm` proud.
float ridge_height(float outside, float ridge_mm);

}  // namespace app
