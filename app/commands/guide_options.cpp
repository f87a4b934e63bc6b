#include <iostream>
#include <memory>

#include "app/commands.h"
#include "app/commands/options.h"
#include "app/guide/guide.h"

namespace app {
void add_guide_command(CLI::App& program, Chosen& chosen) {
  const auto options = std::make_shared<GuideOptions>();
  CLI::App* command = program.add_subcommand("guide", "From the box to the proof: what to do, step by step");
  add_live_options(*command, options->live);
  optional_value(*command, "--station", options->station_file, "The station file; left out, this computer's own")
      ->option_text("FILE");
  command->add_flag("--text", options->text, "Print it, even where there is a display");
  command->callback(
      [&chosen, options] { chosen = [options] { return run_guide(*options, run_words, std::cout, std::cerr); }; });
}

}  // namespace app
