#include <iostream>
#include <memory>

#include "app/commands/hoop_check.h"
#include "app/commands/hoop_keep.h"
#include "app/commands/hoop_teach.h"
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

// The station file that was given, or the default one. Throws calib::FileError.
fs::path station_or_default(const std::optional<fs::path>& given, bool rendered) {
  return given ? *given : default_station_file(rendered);
}

// Runs with the station's file set; where there is no place for one, that is said.
template <class Options, class Run>
Chosen chosen_run(std::shared_ptr<Options> options, std::shared_ptr<std::optional<fs::path>> station, Run run) {
  return [options = std::move(options), station = std::move(station), run] {
    try {
      options->station_file = station_or_default(*station, options->rendered);
    } catch (const calib::FileError& error) {
      std::cerr << "hoopgauge: " << error.what() << '\n';
      return kUsage;
    }
    return run(*options, std::cout, std::cerr);
  };
}

// An option whose text `read` turns into a value, or refuses.
template <class Value, class Read>
void read_option(CLI::App& command, const char* name, const char* form, const char* help, Read read,
                 const std::function<void(Value)>& take) {
  command
      .add_option_function<std::vector<std::string>>(
          name,
          [=](const std::vector<std::string>& texts) {
            for (const std::string& text : texts) {
              const std::optional<Value> value = read(text);
              if (!value) throw CLI::ValidationError(name, "'" + text + "' does not do: write it as " + form);
              take(*value);
            }
          },
          help)
      ->option_text(form);
}

void add_length(CLI::App& command, const char* name, double low, double high, const char* help,
                std::function<void(double)> take) {
  command.add_option_function<double>(name, std::move(take), help)->check(CLI::Range(low, high))->option_text("MM");
}

void add_teach(CLI::App& hoop, Chosen& chosen) {
  CLI::App* teach = hoop.add_subcommand("teach", "Teach a hoop, from pictures of its bare rings or live");
  const auto options = std::make_shared<HoopTeachOptions>();
  const auto station = std::make_shared<std::optional<fs::path>>();
  HoopTeachOptions* const o = options.get();
  optional_value(*teach, "--station", *station, "The station file; the hoop goes beside it")->option_text("FILE");
  teach->add_option("--name", o->name, "What is printed on the hoop")->option_text("NAME");
  add_length(*teach, "--rim-height", calib::kLeastRimHeightMm, calib::kMostRimHeightMm,
             "From the board to the top of the bare rim", [o](double mm) { o->rim_height_mm = mm; });
  add_length(*teach, "--cloth-height", 0.0, 10.0, "Cloth and stabilizer below the ring",
             [o](double mm) { o->cloth_height_mm = mm; });
  optional_value(*teach, "--field", o->field, "The field: width and height in mm, or a diameter")->option_text("WxH|D");
  optional_value(*teach, "--from", o->start_from, "The field of a size of the catalogue")->option_text("NAME");
  read_option<vision::Side>(
      *teach, "--north", "SIDE",
      "Which side is north, as the hoop lies in the first picture: north (away from the operator), "
      "east, south or west",
      side_from, [o](vision::Side side) { o->north = side; });
  optional_value(*teach, "--north-by", o->north_by, "How north is told: taught, 'mark 451', or fixture")
      ->option_text("HOW");
  read_option<ShownNotch>(*teach, "--notch", "SIDE=X,Y",
                          "Where a notch is in the first picture, px; SIDE as for --north; may be repeated", notch_from,
                          [o](const ShownNotch& notch) { o->notches.push_back(notch); });
  teach->add_flag("--replace", o->replace, "A hoop of this name may be there; undo brings it back");
  add_live_options(*teach, *o);
  teach->add_option("FRAME", o->frames, "Pictures; the first one teaches, others of the hoop moved check it")
      ->option_text("FRAME...");
  teach->callback([&chosen, options, station] { chosen = chosen_run(options, station, run_hoop_teach); });
}

void add_check(CLI::App& hoop, Chosen& chosen) {
  CLI::App* check = hoop.add_subcommand("check", "Check that a taught hoop is found again, from pictures or live");
  const auto options = std::make_shared<HoopCheckOptions>();
  const auto station = std::make_shared<std::optional<fs::path>>();
  optional_value(*check, "--station", *station, "The station file")->option_text("FILE");
  add_live_options(*check, *options);
  check->add_option("HOOP", options->hoop, "The hoop's name or its file")->required()->option_text(" ");
  check->add_option("FRAME", options->frames, "Pictures of the bare rings at three places or more")
      ->option_text("FRAME...");
  check->callback([&chosen, options, station] { chosen = chosen_run(options, station, run_hoop_check); });
}

}  // namespace

void add_hoop_command(CLI::App& program, Chosen& chosen) {
  CLI::App* hoop = program.add_subcommand("hoop", "Teach, check and keep hoops");
  hoop->require_subcommand(1);
  add_teach(*hoop, chosen);
  add_check(*hoop, chosen);
  const auto options = std::make_shared<KeepOptions>();
  add_looking(*hoop, chosen, options);
  add_changing(*hoop, chosen, options);
  add_exchange(*hoop, chosen, options);
}

}  // namespace app
