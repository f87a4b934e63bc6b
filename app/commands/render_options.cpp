#include <iostream>
#include <memory>

#include "app/commands/options.h"
#include "app/commands/render.h"

namespace app {
namespace {

void add_options(CLI::App& command, RenderOptions& options) {
  command.add_option("--out", options.out_dir, "The folder to write to")->required()->option_text("DIR (needed)");
  command
      .add_option_function<int>(
          "--count", [&options](int count) { options.count = count; }, "How many frames")
      ->check(CLI::Range(1, 100000))
      ->option_text("N");
  command.add_option("--seed", options.seed, "The same seed gives the same frames")->option_text("S");
  optional_value(command, "--kind", options.kind, "Scenes of one kind only, such as hand")->option_text("KIND");
  optional_value(command, "--station", options.station_file, "A station file instead of the demo station")
      ->option_text("FILE");
  command.add_option("--hoop", options.hoops, "A demo hoop's name or a hoop file; may be repeated")
      ->option_text("NAME or FILE");
  optional_value(command, "--script", options.script,
                 "Instead of random frames the stills of a step of the set-up: lens, board, teach or proof")
      ->option_text("STEP");
  optional_value(command, "--sheet", options.sheet, "With --script: the printed page as a picture")
      ->option_text("PAGE.png");
  command
      .add_option_function<double>(
          "--sheet-px-per-mm", [&options](double scale) { options.sheet_px_per_mm = scale; },
          "With --sheet: that picture's pixels for each printed mm")
      ->option_text("P");
}

}  // namespace

void add_render_command(CLI::App& program, Chosen& chosen) {
  const auto options = std::make_shared<RenderOptions>();
  CLI::App* command = program.add_subcommand("render", "Render frames of the demo station with their truth");
  add_options(*command, *options);
  command->callback([&chosen, options] { chosen = [options] { return run_render(*options, std::cout, std::cerr); }; });
}

}  // namespace app
