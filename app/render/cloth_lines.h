// Draws creases, seams, borders and folds onto a cloth that was drawn before.
#pragma once

#include <opencv2/core.hpp>

#include "app/render/ray_field.h"
#include "app/render/scene.h"

namespace app {

void draw_cloth_lines(const RayField& rays, const Cloth& cloth, double height_mm, cv::Mat1w& light);

}  // namespace app
