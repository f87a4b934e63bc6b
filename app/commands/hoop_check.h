// `hoopgauge hoop check`: whether a taught hoop is found again.
#pragma once

#include <filesystem>
#include <iosfwd>
#include <string>
#include <vector>

#include "app/live_options.h"

namespace app {

struct HoopCheckOptions : LiveOptions {
  std::filesystem::path station_file;
  std::string hoop;                 // its name or its file
  std::vector<std::string> frames;  // of the bare rings; none: live
};

// Returns 0 when the hoop was found, as it was taught, at three places; 1 when not, or a picture could not be read; 2
// for options or files that cannot be used. Nothing is written.
int run_hoop_check(const HoopCheckOptions& options, std::ostream& out, std::ostream& err);

}  // namespace app
