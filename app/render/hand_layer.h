// Draws an operator's hand that lies over the board, and its shadow.
#pragma once

#include <opencv2/core.hpp>

#include "app/render/ray_field.h"
#include "app/render/scene.h"

namespace app {

// The pixels that the hand or its shadow can change.
cv::Rect hand_region(const RayField& rays, const Scene& scene);
// Draws into a cut-out of the picture of light that starts at `region`'s corner.
void draw_hand(const RayField& rays, const Scene& scene, cv::Rect region, cv::Mat1w& cut_out);

}  // namespace app
