// The command `hoopgauge guide`: from the box to the proof, on the screen or as text.
#pragma once

#include <filesystem>
#include <functional>
#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

#include "app/live_options.h"

namespace app {

struct GuideOptions {
  // The station's file; default_station_file() when left out, with live.rendered a file of its own beside it, so that a
  // demonstration never touches a real station.
  std::optional<std::filesystem::path> station_file;
  bool text = false;  // prints it, even where there is a display
  LiveOptions live;   // handed on to the steps; seconds and picture are the guide's own
};

// Runs one command of the program (its words, without the program's name); gives its exit code.
using RunCommand = std::function<int(const std::vector<std::string>& words)>;

// Until the person leaves, a signal or live.seconds. Returns the exit code: 0, 1 when the screen failed, 2 for options
// or files that cannot be used.
int run_guide(const GuideOptions& options, const RunCommand& run_command, std::ostream& out, std::ostream& err);

// The words that start a stage's command with the guide's options.
std::vector<std::string> command_for(const std::vector<std::string>& stage_command,
                                     const std::filesystem::path& station_file, const LiveOptions& live);

}  // namespace app
