// The command `hoopgauge records share`: this station's records to the shop's server, and those of the others from it.
#pragma once

#include <CLI/CLI.hpp>
#include <filesystem>
#include <iosfwd>
#include <optional>

#include "app/commands/options.h"

namespace app {

struct RecordsShareOptions {
  std::optional<std::filesystem::path> station_file;  // default_station_file() without it
  bool check = false;                                 // only say whether it would work, and what waits
};

// 0 when all is shared (or would be), 1 when not, 2 for a station file that cannot be used.
int run_records_share(const RecordsShareOptions& options, std::ostream& out, std::ostream& err);

void add_records_share(CLI::App& records, Chosen& chosen);

}  // namespace app
