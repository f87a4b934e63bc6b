// Where the camera hung when the board was surveyed, as a person reads it: above which point of the board, how high,
// how tilted.
#pragma once

#include <string>

#include "calib/toml_reader.h"
#include "vision/camera.h"

namespace calib {

// Board frame, mm and degrees. With all angles zero the camera looks straight down, the picture's top away from the
// operator; the tilts are about the camera's own x and y axes, the roll is about the board's z axis.
struct CameraPlace {
  double x_mm = 0.0, y_mm = 0.0, height_mm = 0.0;
  double tilt_x_deg = 0.0, tilt_y_deg = 0.0, roll_deg = 0.0;
};

CameraPlace camera_place(const vision::CameraPose& camera_from_board);
// Without a covariance.
vision::CameraPose camera_from_board(const CameraPlace& place);

// The table [camera_place] of a station file. Throws FileError.
vision::CameraPose read_camera_place(const Section& section);
std::string camera_place_text(const vision::CameraPose& camera_from_board);

}  // namespace calib
