#include <iostream>
#include <memory>

#include "app/commands/options.h"
#include "app/commands/screens.h"

namespace app {

void add_screens_command(CLI::App& program, Chosen& chosen) {
  const auto options = std::make_shared<ScreensOptions>();
  CLI::App* command = program.add_subcommand("screens", "Pictures of every view, on an invented workshop");
  command->add_option("DIR", options->out_dir, "The folder to write to")->required()->option_text("(needed)");
  command->add_option("--language", options->language, "Such as en; left out, the system's")->option_text("CODE");
  command->add_option("--only", options->only, "The views whose name begins so, such as menu")->option_text("NAME");
  command->add_flag("--replace", options->replace, "Write over pictures that are there already");
  command->callback([&chosen, options] { chosen = [options] { return run_screens(*options, std::cout, std::cerr); }; });
}

}  // namespace app
