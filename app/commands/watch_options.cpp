#include <iostream>
#include <memory>

#include "app/commands/options.h"
#include "app/commands/watch.h"

namespace app {
namespace {

void add_options(CLI::App& command, WatchOptions& options) {
  optional_value(command, "--keep", options.keep_dir, "Keep frames there, and what was read from them")
      ->option_text("DIR");
  command.add_option("--every", options.every, "Keep each N-th frame, and each with a new status; left out 10")
      ->check(CLI::Range(1, 1000000))
      ->option_text("N");
  command.add_option("--size-limit", options.size_limit_mb, "Megabytes; then the oldest frames go; left out 1000")
      ->check(CLI::Range(1.0, 1e9))
      ->option_text("MB");
  add_source_options(command, options);
  optional_value(command, "--station", options.station_file, "The station file (station.toml)")->option_text("FILE");
  optional_value(command, "--hoop", options.hoop_file, "The hoop file, or a taught hoop's name")
      ->option_text("FILE|NAME");
}

}  // namespace

void add_watch_command(CLI::App& program, Chosen& chosen) {
  const auto options = std::make_shared<WatchOptions>();
  CLI::App* command = program.add_subcommand("watch", "Measure without a screen, and keep frames for support");
  add_options(*command, *options);
  command->callback([&chosen, options] { chosen = [options] { return run_watch(*options, std::cout, std::cerr); }; });
}

}  // namespace app
