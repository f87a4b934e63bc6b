// Chooses what the station runs on: the camera, a folder of pictures, or the rendered station.
#pragma once

#include <filesystem>
#include <memory>
#include <stdexcept>
#include <string>
#include <vector>

#include "app/proof/last_proof.h"
#include "app/source/frame_source.h"
#include "app/station.h"
#include "vision/station.h"

namespace app {

// Options that do not go together or lack something; what() says what to write instead.
class OptionError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

// The station is not set up as far as it takes. what() says which step is missing.
class NotSetUp : public OptionError {
 public:
  using OptionError::OptionError;
};

struct OpenedStation {
  std::unique_ptr<FrameSource> source;  // open_station() only
  vision::Station station;
  vision::Hoop hoop;                // that is looked for first
  std::vector<vision::Hoop> hoops;  // all taught ones, `hoop` among them
  // Where the station's own files lie; of a rendered station a place of its own, that need not be there yet.
  std::filesystem::path station_file;
  std::string notice;  // for the screen, when this is no live camera
  LastProof proof;     // of a real station; `line` is empty otherwise
};

// Files that are not named are those of this computer's station (app/places.h), its hoop the one used last. A station
// that is set up waits for its camera, however long; only where none was ever set up, with no camera and nothing named,
// it is the rendered station. Throws OptionError, calib::FileError for the files, std::runtime_error when a folder
// cannot be used.
OpenedStation open_station(const StationOptions& options);

// Station, hoop and last proof for a camera, from the files named or this computer's own. Throws NotSetUp,
// calib::FileError.
OpenedStation set_up_station(const StationOptions& options);

}  // namespace app
