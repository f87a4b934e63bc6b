#include <iostream>
#include <memory>

#include "app/commands/measure.h"
#include "app/commands/options.h"

namespace app {
namespace {

void add_options(CLI::App& command, MeasureOptions& options) {
  command.add_option("--station", options.station_file, "The station file (station.toml)")
      ->required()
      ->option_text("FILE (needed)");
  command.add_option("--hoop", options.hoop_file, "The hoop file, or a taught hoop's name")
      ->required()
      ->option_text("FILE|NAME (needed)");
  optional_value(command, "--overlay", options.overlay_dir, "Write each frame there with what was found drawn on it")
      ->option_text("DIR");
  command.add_flag("--fresh", options.fresh, "Forget the last frame before each one");
  command
      .add_option_function<int>(
          "--sticker", [&options](int number) { options.sticker = number; }, "The sticker that counts, 0 to 99")
      ->check(CLI::Range(0, 99))
      ->option_text("N");
  command.add_option("FRAME", options.frames, "JPEGs and PNGs, folders of them, patterns such as 'day/*.jpg'")
      ->required()
      ->option_text("FRAME...");
}

}  // namespace

void add_measure_command(CLI::App& program, Chosen& chosen) {
  const auto options = std::make_shared<MeasureOptions>();
  CLI::App* command = program.add_subcommand("measure", "Measure pictures, one JSON line each");
  add_options(*command, *options);
  command->callback([&chosen, options] { chosen = [options] { return run_measure(*options, std::cout, std::cerr); }; });
}

}  // namespace app
