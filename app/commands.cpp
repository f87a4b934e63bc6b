#include "app/commands.h"

#include <algorithm>
#include <exception>
#include <iostream>
#include <string>

#include "app/commands/options.h"

namespace app {
namespace {

// The first word must be a command. Without one, or with an option first, it is the station.
bool names_a_command(const CLI::App& program, const std::string& word) {
  const auto commands = program.get_subcommands([](const CLI::App*) { return true; });
  return std::any_of(commands.begin(), commands.end(), [&](const CLI::App* one) { return one->get_name() == word; });
}

int unknown_command(const CLI::App& program, const std::string& word) {
  std::cerr << "hoopgauge: '" << word << "' is no command; write one of";
  for (const CLI::App* one : program.get_subcommands([](const CLI::App*) { return true; }))
    std::cerr << ' ' << one->get_name();
  std::cerr << ", or hoopgauge --help\n";
  return kUsage;
}

int parsed_run(int argc, char** argv) {
  CLI::App program(
      "A hooping station: sees the target sticker and the hoop, says how far to slide and turn the cloth.\n"
      "Without a command it is the station.",
      "hoopgauge");
  program.set_version_flag("--version", "hoopgauge " HOOPGAUGE_VERSION);
  Chosen chosen;  // the station, unless a command says otherwise
  for (const auto add : {
           add_station_command,
           add_guide_command,
           add_print_command,
           add_lens_command,
           add_board_command,
           add_hoop_command,
           add_machine_command,
           add_entry_command,
           add_prove_command,
           add_job_command,
           add_records_command,
           add_report_command,
           add_measure_command,
           add_render_command,
           add_screens_command,
           add_watch_command,
           add_cameras_command,
       })
    add(program, chosen);
  program.require_subcommand(0, 1);

  if (argc > 1 && argv[1][0] != '-' && !names_a_command(program, argv[1])) return unknown_command(program, argv[1]);
  try {
    program.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    if (error.get_exit_code() == 0) return program.exit(error, std::cout, std::cerr);  // --help, --version
    std::cerr << "hoopgauge: " << error.what() << "; see hoopgauge --help\n";
    return kUsage;
  }
  return chosen();
}

}  // namespace

int run(int argc, char** argv) {
  try {
    return parsed_run(argc, argv);
  } catch (const std::exception& error) {
    std::cerr << "hoopgauge: stopped by a fault of its own: " << error.what() << '\n';
    return 3;
  }
}

int run_words(const std::vector<std::string>& words) {
  std::vector<std::string> all{"hoopgauge"};
  all.insert(all.end(), words.begin(), words.end());
  std::vector<char*> arguments;
  for (std::string& word : all) arguments.push_back(word.data());
  arguments.push_back(nullptr);
  return run(static_cast<int>(all.size()), arguments.data());
}

}  // namespace app
