// The command `hoopgauge lens`: the lens from pictures of the calibration sheet, into the station file.
#pragma once

#include <filesystem>
#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

#include "app/live_options.h"

namespace app {

struct LensOptions {
  std::optional<std::filesystem::path> station_file;  // nothing: the station's own
  std::vector<std::string> frames;                    // none: live
  LiveOptions live;
};

// Returns 0 when the lens was found and written; 1 when the pictures gave none that is good, or one could not be read;
// 2 when an option or the station file cannot be used, or no picture is there.
int run_lens(const LensOptions& options, std::ostream& out, std::ostream& err);

}  // namespace app
