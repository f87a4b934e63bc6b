#include <iostream>
#include <memory>

#include "app/commands/options.h"
#include "app/commands/prove.h"
#include "app/places.h"
#include "calib/files.h"

namespace app {
namespace {

void add_options(CLI::App& command, ProveOptions& options) {
  command.add_option("--station", options.step.station_file, "The station file; by default the station's own")
      ->option_text("FILE");
  command.add_option("--readings", options.step.readings, "Frames in either position at each place; 20")
      ->check(CLI::Range(1, 1000))
      ->option_text("N");
  command.add_option("--places", options.step.places, "Places on the board; 5")
      ->check(CLI::Range(2, 20))
      ->option_text("N");
  command.add_option("--tolerance", options.step.tolerance.offset_mm, "Largest error of an offset, mm; 0.3")
      ->check(CLI::Range(0.001, 100.0))
      ->option_text("MM");
  command.add_option("--tolerance-deg", options.step.tolerance.rotation_deg, "Largest error of a rotation, deg; 0.2")
      ->check(CLI::Range(0.001, 90.0))
      ->option_text("D");
  command.add_option("--operator", options.step.by, "Who lays the sheet, for a study of several operators")
      ->option_text("NAME");
  add_live_options(command, options.live);
  command.add_option("FRAME", options.frames, "Pictures of the proof sheet; without any: live")
      ->option_text("FRAME...");
}

CLI::App* add_study(CLI::App& prove, Chosen& chosen) {
  const auto options = std::make_shared<StudyOptions>();
  CLI::App* command = prove.add_subcommand(
      "study", "A gauge study: a CSV with the columns operator, part, trial, value, or the JSON of two proofs or more");
  command->add_option("FILE", options->files, "One .csv, or several .json of proofs with --operator")
      ->required()
      ->option_text("FILE...");
  command->add_flag("--json", options->json, "Print JSON instead of words");
  command
      ->add_option_function<double>(
          "--tolerance", [options](double width) { options->tolerance = width; },
          "Full width of the tolerance, in the values' unit")
      ->check(CLI::PositiveNumber)
      ->option_text("WIDTH");
  command->callback([&chosen, options] { chosen = [options] { return run_study(*options, std::cout, std::cerr); }; });
  return command;
}

int run_with_defaults(ProveOptions options) {
  try {
    if (options.step.station_file.empty()) options.step.station_file = default_station_file(options.live.rendered);
  } catch (const calib::FileError& error) {
    std::cerr << "hoopgauge: " << error.what() << '\n';
    return kUsage;
  }
  return run_prove(options, std::cout, std::cerr);
}

}  // namespace

void add_prove_command(CLI::App& program, Chosen& chosen) {
  const auto options = std::make_shared<ProveOptions>();
  CLI::App* command = program.add_subcommand("prove", "Prove with the proof sheet that the station measures right");
  add_options(*command, *options);
  const CLI::App* study = add_study(*command, chosen);
  command->callback([&chosen, options, study] {
    if (!study->parsed()) chosen = [options] { return run_with_defaults(*options); };
  });
}

}  // namespace app
