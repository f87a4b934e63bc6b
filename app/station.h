// The station command: camera (or its stand-in) to screen, until the operator or the system ends it.
#pragma once

#include <filesystem>
#include <optional>

#include "app/live_options.h"

namespace app {

struct StationOptions : LiveOptions {
  std::optional<std::filesystem::path> station_file;  // --station FILE
  std::optional<std::filesystem::path> hoop_file;     // --hoop FILE
  bool scenario = false;                              // --scenario: the rendered station plays the demonstration's jobs
};

// Runs until Escape, q, a closed window, SIGINT or SIGTERM, or options.seconds. Returns the process's exit code: 0
// after an orderly end, 1 when the camera or the screen failed, 2 for options or files that cannot be used. Messages go
// to stdout (what runs) and stderr (what is wrong and how to mend it).
int run_station(const StationOptions& options);

// The command `hoopgauge cameras`: one line a camera found. Returns 0, or 1 when there is none.
int run_cameras();

}  // namespace app
