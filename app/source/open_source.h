// Chooses what the station runs on: the camera, a folder of pictures, or the rendered station.
#pragma once

#include <memory>
#include <stdexcept>
#include <string>

#include "app/source/frame_source.h"
#include "app/station.h"
#include "vision/station.h"

namespace app {

// Options that do not go together or lack something; what() says what to write instead.
class OptionError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

struct OpenedStation {
  std::unique_ptr<FrameSource> source;
  vision::Station station;
  vision::Hoop hoop;
  std::string notice;  // for the screen, when this is no live camera
};

// Throws OptionError, calib::FileError for the files, std::runtime_error when a camera or a folder cannot be used.
OpenedStation open_station(const StationOptions& options);

}  // namespace app
