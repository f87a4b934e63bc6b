// The lens: the calibration sheet held at many places and tilts, then its fit, written to the station file.
#pragma once

#include <filesystem>
#include <memory>

#include "app/setup/step.h"

namespace app {

struct LensStepOptions {
  std::filesystem::path station_file;  // written; need not be there yet
};

// Live frames are taken by themselves when the sheet is still, sharp and elsewhere than before; pictures (named frames)
// each that is sharp and no other one again. finish() writes the lens into the station file, the old one kept beside
// it, with print_scale and board marks as they were, and lens.png beside it. Nothing is written where the result is not
// good. Throws calib::FileError when a station file is there that cannot be used.
std::unique_ptr<SetupStep> make_lens_step(const LensStepOptions& options);

}  // namespace app
