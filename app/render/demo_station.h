// An invented station and invented hoops, for the demo and the tests when there is no real one.
#pragma once

#include <string>
#include <vector>

#include "app/render/scene.h"
#include "vision/station.h"

namespace app {

// A 2304 x 1296 camera with a wide lens, six marks around the board's rim.
vision::Station demo_station();

// The place of its camera: about 655 mm up, tilted by less than a degree.
CameraPlace demo_camera_place();

// "demo 130 x 180" (a rounded rectangle), "demo round 160" (a circle), "demo 110 x 110" (a rounded square) and
// "demo oval" (an ellipse): north doubled, every outline given every half millimetre or so.
std::vector<vision::Hoop> demo_hoops();
// Throws std::invalid_argument, naming the hoops there are.
vision::Hoop demo_hoop(const std::string& name);

}  // namespace app
