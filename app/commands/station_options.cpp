#include <memory>

#include "app/commands/options.h"
#include "app/station.h"

namespace app {
namespace {

void add_options(CLI::App& command, StationOptions& options) {
  add_live_options(command, options);
  optional_value(command, "--station", options.station_file, "The station file (station.toml)")->option_text("FILE");
  optional_value(command, "--hoop", options.hoop_file, "The hoop file, or a taught hoop's name")
      ->option_text("FILE|NAME");
  command.add_flag(
      "--scenario", options.scenario,
      "The rendered station with five invented jobs: two stickers, a fold, a turned apron, a napkin on the "
      "diagonal, a design that does not fit");
}

}  // namespace

// The station is also what runs without a command, so its options stand on the program itself too.
void add_station_command(CLI::App& program, Chosen& chosen) {
  const auto options = std::make_shared<StationOptions>();
  CLI::App* command = program.add_subcommand("station", "Run the station: camera to screen");
  add_options(program, *options);
  add_options(*command, *options);
  chosen = [options] { return run_station(*options); };
}

void add_cameras_command(CLI::App& program, Chosen& chosen) {
  CLI::App* command = program.add_subcommand("cameras", "List the cameras found");
  command->callback([&chosen] { chosen = [] { return run_cameras(); }; });
}

}  // namespace app
