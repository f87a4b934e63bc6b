// Draws the ring into the picture of light: top, rounded edges, walls and notches, each where the camera's ray meets
// it, and the narrow dark gap between the ring and the cloth around it.
#pragma once

#include <opencv2/core.hpp>

#include "app/render/light_map.h"
#include "app/render/ray_field.h"
#include "app/render/ring_solid.h"
#include "app/render/scene.h"

namespace app {

// `ground_mm`: height of the cloth, or of the board when it is bare. With RingState::under_cloth the outer ring alone
// is drawn, as it lies there before the cloth.
cv::Rect draw_ring(const RayField& rays, const RingSolid& solid, const Scene& scene, double ground_mm,
                   cv::Mat1w& light);

// Darkens or brightens the ground around the ring: the cloth, or the board where there is none.
void apply_light_map(const RayField& rays, const LightMap& map, const Scene& scene, cv::Mat1w& light);

}  // namespace app
