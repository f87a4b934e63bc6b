#include <iostream>
#include <memory>

#include "app/commands/hoop_keep.h"
#include "app/commands/options.h"
#include "app/places.h"
#include "calib/files.h"

namespace app {
namespace {

namespace fs = std::filesystem;

// What the keeping commands are given.
struct KeepOptions {
  std::optional<fs::path> station_file;
  std::string name, new_name;
  fs::path file;
  std::vector<std::string> names;
  bool replace = false, rename = false;
};

using KeepRun = std::function<int(const fs::path& station_file, const KeepOptions& options)>;

int with_station(const KeepOptions& options, const KeepRun& run) {
  try {
    return run(options.station_file ? *options.station_file : default_station_file(), options);
  } catch (const calib::FileError& error) {
    std::cerr << "hoopgauge: " << error.what() << '\n';
    return kUsage;
  }
}

// A command below `hoop`. Its options are added by the caller.
CLI::App* add_keep(CLI::App& hoop, Chosen& chosen, const std::shared_ptr<KeepOptions>& options, const char* name,
                   const char* help, KeepRun run) {
  CLI::App* command = hoop.add_subcommand(name, help);
  optional_value(*command, "--station", options->station_file, "The station file; the hoops lie beside it")
      ->option_text("FILE");
  command->callback(
      [&chosen, options, run = std::move(run)] { chosen = [options, run] { return with_station(*options, run); }; });
  return command;
}

void needed(CLI::App* command, const char* what, std::string& value, const char* help) {
  command->add_option(what, value, help)->required()->option_text(" ");
}

void add_looking(CLI::App& hoop, Chosen& chosen, const std::shared_ptr<KeepOptions>& options) {
  add_keep(hoop, chosen, options, "list", "List the taught hoops",
           [](const fs::path& station, const KeepOptions&) { return run_hoop_list(station, std::cout, std::cerr); });
  CLI::App* show = add_keep(hoop, chosen, options, "show", "Show what is known of a hoop",
                            [](const fs::path& station, const KeepOptions& o) {
                              return run_hoop_show(station, o.name, std::cout, std::cerr);
                            });
  needed(show, "NAME", options->name, "The hoop's name");
  add_keep(
      hoop, chosen, options, "catalogue", "List common sizes to start teaching from",
      [](const fs::path& station, const KeepOptions&) { return run_hoop_catalogue(station, std::cout, std::cerr); });
}

void add_changing(CLI::App& hoop, Chosen& chosen, const std::shared_ptr<KeepOptions>& options) {
  CLI::App* rename = add_keep(hoop, chosen, options, "rename", "Give a hoop another name",
                              [](const fs::path& station, const KeepOptions& o) {
                                return run_hoop_rename(station, o.name, o.new_name, std::cout, std::cerr);
                              });
  needed(rename, "NAME", options->name, "The hoop's name");
  needed(rename, "NEW_NAME", options->new_name, "Its new name");
  CLI::App* remove = add_keep(hoop, chosen, options, "remove", "Remove a hoop; undo brings it back",
                              [](const fs::path& station, const KeepOptions& o) {
                                return run_hoop_remove(station, o.name, std::cout, std::cerr);
                              });
  needed(remove, "NAME", options->name, "The hoop's name, or the file name of a damaged one");
  add_keep(hoop, chosen, options, "undo", "Take back the last removal, renaming or writing over",
           [](const fs::path& station, const KeepOptions&) { return run_hoop_undo(station, std::cout, std::cerr); });
}

void add_exchange(CLI::App& hoop, Chosen& chosen, const std::shared_ptr<KeepOptions>& options) {
  CLI::App* to = add_keep(hoop, chosen, options, "export", "Write hoops into one file, for another station",
                          [](const fs::path& station, const KeepOptions& o) {
                            return run_hoop_export(station, o.file, o.names, o.replace, std::cout, std::cerr);
                          });
  to->add_option("FILE", options->file, "The file to write")->required()->option_text(" ");
  to->add_option("NAME", options->names, "Hoops by name; all when none is named")->option_text("...");
  to->add_flag("--replace", options->replace, "Write over a file that is there");
  CLI::App* from = add_keep(
      hoop, chosen, options, "import", "Take the hoops of a file", [](const fs::path& station, const KeepOptions& o) {
        const OnSameName same = o.replace ? OnSameName::replace : o.rename ? OnSameName::rename : OnSameName::refuse;
        return run_hoop_import(station, o.file, same, std::cout, std::cerr);
      });
  from->add_option("FILE", options->file, "The file of another station, or of one hoop")->required()->option_text(" ");
  CLI::Option* replace =
      from->add_flag("--replace", options->replace, "Put hoops in the place of those here with their names");
  from->add_flag("--rename", options->rename, "Give hoops whose names are taken new ones")->excludes(replace);
}

}  // namespace

void add_hoop_command(CLI::App& program, Chosen& chosen) {
  CLI::App* hoop = program.add_subcommand("hoop", "Teach, check and keep hoops");
  hoop->require_subcommand(1);
  const auto options = std::make_shared<KeepOptions>();
  add_looking(*hoop, chosen, options);
  add_changing(*hoop, chosen, options);
  add_exchange(*hoop, chosen, options);
}

}  // namespace app
