// The survey of the board marks: the calibration sheet lies on the board, is moved and turned, and each picture of it
// at rest tells where the marks are stuck.
#pragma once

#include <filesystem>
#include <memory>

#include "app/setup/step.h"
#include "vision/station.h"

namespace app {

struct BoardStepOptions {
  std::filesystem::path station_file;  // holds the lens; the marks are written into it
  int pictures = 5;                    // live: with so many of the sheet at different places the step is complete
  bool keep_frame = false;             // the marks of the old survey that stayed keep their coordinates
};

// Live frames are kept while everything is at rest and the sheet lies elsewhere than before; pictures (named frames)
// all that show sheet and marks. finish() writes marks and camera place into the station file, the old one kept beside
// it. Throws calib::FileError when the file has no usable lens.
std::unique_ptr<SetupStep> make_board_step(const BoardStepOptions& options);

}  // namespace app
