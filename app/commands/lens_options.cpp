#include <iostream>
#include <memory>

#include "app/commands/lens.h"
#include "app/commands/options.h"

namespace app {

void add_lens_command(CLI::App& program, Chosen& chosen) {
  const auto options = std::make_shared<LensOptions>();
  CLI::App* command = program.add_subcommand("lens", "Calibrate the lens with the calibration sheet");
  optional_value(*command, "--station", options->station_file, "The station file; without it the station's own")
      ->option_text("FILE");
  add_live_options(*command, options->live);
  command
      ->add_option("FRAME", options->frames,
                   "Pictures of the sheet held at many places and tilts, the focus locked; without any: live")
      ->option_text("FRAME...");
  command->callback([&chosen, options] { chosen = [options] { return run_lens(*options, std::cout, std::cerr); }; });
}

}  // namespace app
