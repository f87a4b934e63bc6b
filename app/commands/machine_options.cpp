#include <iostream>
#include <memory>

#include "app/commands/machine.h"
#include "app/commands/options.h"
#include "app/places.h"
#include "calib/files.h"
#include "calib/toml_reader.h"

namespace app {
namespace {

namespace fs = std::filesystem;

// What the commands below `machine` are given.
struct MachineOptions {
  std::optional<fs::path> station_file;
  std::string name;
  std::vector<std::string> lines;  // of a new machine's file
  std::vector<fs::path> files;
};

int with_station(const std::optional<fs::path>& given, const std::function<int(const fs::path&)>& run) {
  try {
    return run(given ? *given : default_station_file());
  } catch (const calib::FileError& error) {
    std::cerr << "hoopgauge: " << error.what() << '\n';
    return kUsage;
  }
}

void add_station_option(CLI::App& command, std::optional<fs::path>& file) {
  optional_value(command, "--station", file, "The station file; the machines lie beside it")->option_text("FILE");
}

using MachineRun = std::function<int(const fs::path& station_file, const MachineOptions& options)>;

CLI::App* add_one(CLI::App& machine, Chosen& chosen, const std::shared_ptr<MachineOptions>& options, const char* name,
                  const char* help, MachineRun run) {
  CLI::App* command = machine.add_subcommand(name, help);
  add_station_option(*command, options->station_file);
  command->callback([&chosen, options, run = std::move(run)] {
    chosen = [options, run] {
      return with_station(options->station_file, [&](const fs::path& station) { return run(station, *options); });
    };
  });
  return command;
}

void name_needed(CLI::App* command, std::string& name, const char* help) {
  command->add_option("NAME", name, help)->required()->option_text(" ");
}

// An option of a new machine that becomes a line of its file.
void word_option(CLI::App& command, const std::shared_ptr<MachineOptions>& options, const char* name, const char* key,
                 const std::vector<std::string>& words, const char* help) {
  std::string known;
  for (const std::string& word : words) known += (known.empty() ? "" : "|") + word;
  command
      .add_option_function<std::string>(
          name,
          [options, key](const std::string& word) {
            options->lines.push_back(std::string(key) + " = " + calib::toml_text(word));
          },
          help)
      ->check(CLI::IsMember(words))
      ->option_text(known);
}

void numbers_option(CLI::App& command, const std::shared_ptr<MachineOptions>& options, const char* name,
                    const char* key, int count, const char* form, const char* help) {
  CLI::Option* option = command.add_option_function<std::vector<double>>(
      name,
      [options, key, count](const std::vector<double>& values) {
        std::string list;
        for (const double value : values) list += (list.empty() ? "" : ", ") + calib::toml_number(value);
        options->lines.push_back(std::string(key) + " = " + (count == 1 ? list : "[" + list + "]"));
      },
      help);
  if (count > 0) option->expected(count);
  if (count < 0) option->delimiter(',');
  option->option_text(form);
}

void add_new(CLI::App& machine, Chosen& chosen, const std::shared_ptr<MachineOptions>& options) {
  CLI::App* command = add_one(machine, chosen, options, "new", "Describe a machine; what is left out is as usual",
                              [](const fs::path& station, const MachineOptions& o) {
                                return run_machine_new(station, o.name, o.lines, std::cout, std::cerr);
                              });
  name_needed(command, options->name, "What you call it");
  numbers_option(*command, options, "--step", "rotation_step_deg", 1, "DEG",
                 "Smallest turn of a design, 1 where left out; 0: it cannot turn one");
  word_option(*command, options, "--sense", "sense", {"counter-clockwise", "clockwise"},
              "How the picture on its screen turns when the rotation grows; clockwise where left out");
  word_option(*command, options, "--range", "range", {"full turn", "half turns"}, "0 to 359, or -180 to 180");
  numbers_option(*command, options, "--keys", "turn_keys_deg", -1, "DEG,...",
                 "What a press of each rotation key turns; 90,10,1 where left out");
  command->add_flag_callback(
      "--typed", [options] { options->lines.emplace_back("turn_keys_deg = []"); }, "The rotation is typed in");
  command->add_flag_callback(
      "--one-way", [options] { options->lines.emplace_back("turn_keys_both_ways = false"); },
      "Its rotation keys turn one way only");
  numbers_option(*command, options, "--jog-step", "jog_step_mm", 1, "MM", "Of a press of an arrow; 0.1 where left out");
  numbers_option(*command, options, "--jog-limit", "jog_limit_mm", 2, "X Y",
                 "Sideways, and up or down, mm from the middle; 0: as far as the field");
  word_option(*command, options, "--moves", "moves", {"design", "hoop"}, "What goes where an arrow points");
  word_option(*command, options, "--order", "order", {"turn first", "jog first"}, "What is entered first");
  word_option(*command, options, "--about", "about", {"design centre", "field centre"}, "What stays in turning");
  word_option(*command, options, "--mirror", "mirror", {"none", "left-right", "top-bottom"},
              "Of the cloth against its screen");
  command
      ->add_option_function<std::string>(
          "--note",
          [options](const std::string& note) { options->lines.push_back("note = " + calib::toml_text(note)); },
          "A line for the operator")
      ->option_text("TEXT");
}

}  // namespace

void add_machine_command(CLI::App& program, Chosen& chosen) {
  CLI::App* machine = program.add_subcommand("machine", "Describe machines: how they turn and move a design");
  machine->require_subcommand(1);
  const auto options = std::make_shared<MachineOptions>();
  add_new(*machine, chosen, options);
  add_one(*machine, chosen, options, "list", "List the machines", [](const fs::path& station, const MachineOptions&) {
    return run_machine_list(station, std::cout, std::cerr);
  });
  name_needed(add_one(*machine, chosen, options, "show", "Show a machine's file",
                      [](const fs::path& station, const MachineOptions& o) {
                        return run_machine_show(station, o.name, std::cout, std::cerr);
                      }),
              options->name, "The machine's name");
  CLI::App* check = machine->add_subcommand("check", "Check files of machines");
  check->add_option("FILE", options->files, "Files to check")->required()->option_text("FILE...");
  check->callback(
      [&chosen, options] { chosen = [options] { return run_machine_check(options->files, std::cout, std::cerr); }; });
  name_needed(add_one(*machine, chosen, options, "remove", "Remove a machine; undo brings it back",
                      [](const fs::path& station, const MachineOptions& o) {
                        return run_machine_remove(station, o.name, std::cout, std::cerr);
                      }),
              options->name, "The machine's name, or the file name of a damaged one");
  add_one(
      *machine, chosen, options, "undo", "Bring back what was removed last",
      [](const fs::path& station, const MachineOptions&) { return run_machine_undo(station, std::cout, std::cerr); });
}

void add_entry_command(CLI::App& program, Chosen& chosen) {
  CLI::App* command = program.add_subcommand("entry", "What to enter at a machine for a reading");
  const auto options = std::make_shared<EntryOptions>();
  const auto station = std::make_shared<std::optional<fs::path>>();
  constexpr double kFar_mm = 1000.0, kTurns_deg = 360.0;
  add_station_option(*command, *station);
  command->add_option("--machine", options->machine, "Its name, or its file")->required()->option_text("NAME");
  command->add_option("--rotation", options->rotation_deg, "Of the reading, counter-clockwise")
      ->required()
      ->check(CLI::Range(-kTurns_deg, kTurns_deg))
      ->option_text("DEG");
  const auto pair = [&](const char* name, const char* form, const char* help, double low,
                        std::function<void(double, double)> take) {
    return command
        ->add_option_function<std::vector<double>>(
            name, [take = std::move(take)](const std::vector<double>& v) { take(v[0], v[1]); }, help)
        ->expected(2)
        ->check(CLI::Range(low, kFar_mm))
        ->option_text(form);
  };
  EntryOptions* const o = options.get();
  pair("--offset", "X Y", "Of the reading, mm: right and up of the hoop's centre", -kFar_mm, [o](double x, double y) {
    o->offset_mm = {x, y};
  })->required();
  pair("--design", "W H", "Its width and height, mm; left out, only its centre counts", 1.0,
       [o](double w, double h) { o->design_mm = cv::Size2d(w, h); });
  command->add_flag_callback(
      "--inch", [o] { o->units = Units::inch; }, "Lengths in inches in the sentences");
  command->add_flag("--json", options->json, "As one JSON object");
  command->callback([&chosen, options, station] {
    chosen = [options, station] {
      return with_station(*station, [&](const fs::path& file) {
        options->station_file = file;
        return run_entry(*options, std::cout, std::cerr);
      });
    };
  });
}

}  // namespace app
