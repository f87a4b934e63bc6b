// The command `hoopgauge watch`: measures without a screen, tells when the status changes, and keeps frames.
#pragma once

#include <filesystem>
#include <iosfwd>
#include <optional>

#include "app/station.h"

namespace app {

struct WatchOptions : StationOptions {
  std::optional<std::filesystem::path> keep_dir;  // --keep DIR: frames and what was read from them
  int every = 10;                                 // --every N: each N-th frame is kept, and each with a new status
  double size_limit_mb = 1000.0;                  // --size-limit MB (10^6 bytes): then the oldest go
};

// Until SIGINT or SIGTERM, options.seconds, or a source that is no camera has ended. Returns 0 after an orderly end,
// 1 when frames could not be kept or came no more, 2 for options or files that cannot be used.
int run_watch(const WatchOptions& options, std::ostream& out, std::ostream& err);

}  // namespace app
