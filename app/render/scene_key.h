// The numbers that a part of the picture depends on, to tell whether it must be drawn anew.
#pragma once

#include <vector>

#include "app/render/scene.h"

namespace app {

using SceneKey = std::vector<double>;

SceneKey board_key(const Scene& scene);  // camera and board
SceneKey cloth_texture_key(const Cloth& cloth);
SceneKey light_map_key(const Scene& scene);  // the ring's shadow, in the hoop frame
SceneKey still_key(const Scene& scene);      // everything but hand, exposure and noise

}  // namespace app
