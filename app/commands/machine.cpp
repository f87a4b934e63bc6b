#include "app/commands/machine.h"

#include <cmath>
#include <functional>
#include <nlohmann/json.hpp>
#include <ostream>

#include "app/commands/options.h"
#include "app/in_quotes.h"
#include "app/machine/entry_words.h"
#include "app/machine/machine_file.h"
#include "app/machine/machine_store.h"
#include "app/words/words.h"
#include "calib/files.h"
#include "calib/toml_reader.h"

namespace app {
namespace {

namespace fs = std::filesystem;

constexpr int kNotAsItShouldBe = 1;

int run_or_say(std::ostream& err, const std::function<int()>& run) {
  const InEnglish english;
  try {
    return run();
  } catch (const calib::FileError& error) {
    err << "hoopgauge: " << error.what() << '\n';
    return kUsage;
  }
}

std::string known_names(const MachineList& list) {
  std::string names;
  for (const StoredMachine& one : list.machines) names += (names.empty() ? "" : ", ") + in_quotes(one.machine.name);
  return names.empty() ? "none is described yet; hoopgauge machine new NAME describes one" : "there are " + names;
}

Machine named(const fs::path& station_file, const std::string& name) {
  const MachineStore store(machine_folder(station_file));
  if (const auto stored = store.find(name)) return stored->machine;
  throw calib::FileError("there is no machine " + in_quotes(name) + ": " + known_names(store.list()));
}

const char* word(MachineEntry::Turn turn) {
  switch (turn) {
    case MachineEntry::Turn::possible:
      return "possible";
    case MachineEntry::Turn::too_coarse:
      return "too_coarse";
    case MachineEntry::Turn::none:
      break;
  }
  return "none";
}

nlohmann::ordered_json json_of(const Machine& machine, const MachineEntry& entry, Units units) {
  nlohmann::ordered_json out;
  out["machine"] = machine.name;
  out["rotation"] = entry.rotation;
  out["keys"] = nlohmann::ordered_json::array();
  for (const KeyPresses& one : entry.keys) out["keys"].push_back({{"key_deg", one.key_deg}, {"times", one.times}});
  out["moves"] = machine.moves == Machine::Moves::design ? "design" : "hoop";
  out["order"] = machine.order == Machine::Order::turn_first ? "turn first" : "jog first";
  out["jog_right_mm"] = entry.jog_right_mm;
  out["jog_up_mm"] = entry.jog_up_mm;
  out["jog_right_presses"] = entry.jog_right_presses;
  out["jog_up_presses"] = entry.jog_up_presses;
  out["turn"] = word(entry.turn);
  out["jog_possible"] = entry.jog_possible;
  out["left_over_deg"] = entry.left_over_deg;
  out["left_over_mm"] = entry.left_over_mm;
  out["steps"] = entry_steps(machine, entry, units);
  out["troubles"] = entry_troubles(machine, entry, units);
  return out;
}

void say_entry(const Machine& machine, const MachineEntry& entry, const EntryOptions& options, std::ostream& out) {
  out << machine.name << ": " << machine_summary(machine, options.units) << '\n';
  int number = 0;
  for (const std::string& step : entry_steps(machine, entry, options.units)) out << ++number << ". " << step << '\n';
  out << left_over_text(entry, options.units, options.design_mm.has_value()) << '\n';
  for (const std::string& trouble : entry_troubles(machine, entry, options.units)) out << trouble << '\n';
}

}  // namespace

int run_machine_new(const fs::path& station_file, const std::string& name, const std::vector<std::string>& lines,
                    std::ostream& out, std::ostream& err) {
  return run_or_say(err, [&] {
    std::string text = "name = " + calib::toml_text(name) + "\n";
    for (const std::string& line : lines) text += line + "\n";
    const Machine machine = machine_from_text(text, "machine new");
    const fs::path file = MachineStore(machine_folder(station_file)).save(machine);
    out << in_quotes(machine.name) << " is described in " << file.string() << ": "
        << machine_summary(machine, Units::mm) << '\n';
    return 0;
  });
}

int run_machine_list(const fs::path& station_file, std::ostream& out, std::ostream& err) {
  return run_or_say(err, [&] {
    const MachineList list = MachineStore(machine_folder(station_file)).list();
    for (const StoredMachine& one : list.machines)
      out << one.machine.name << ": " << machine_summary(one.machine, Units::mm) << '\n';
    if (list.machines.empty()) out << "no machine is described yet; hoopgauge machine new NAME describes one\n";
    for (const DamagedMachine& damaged : list.damaged) err << "hoopgauge: " << damaged.message << '\n';
    return list.damaged.empty() ? 0 : kNotAsItShouldBe;
  });
}

int run_machine_show(const fs::path& station_file, const std::string& name, std::ostream& out, std::ostream& err) {
  return run_or_say(err, [&] {
    out << text_of(named(station_file, name));
    return 0;
  });
}

int run_machine_check(const std::vector<fs::path>& files, std::ostream& out, std::ostream& err) {
  int code = 0;
  for (const fs::path& file : files) {
    const int one = run_or_say(err, [&] {
      const Machine machine = machine_from_text(calib::text_of_file(file), file.string());
      out << file.string() << ": ok: " << machine.name << ": " << machine_summary(machine, Units::mm) << '\n';
      return 0;
    });
    if (one != 0) code = kNotAsItShouldBe;
  }
  return code;
}

int run_machine_remove(const fs::path& station_file, const std::string& name, std::ostream& out, std::ostream& err) {
  return run_or_say(err, [&] {
    MachineStore(machine_folder(station_file)).remove(name);
    out << in_quotes(name) << " is removed; hoopgauge machine undo brings it back\n";
    return 0;
  });
}

int run_machine_undo(const fs::path& station_file, std::ostream& out, std::ostream& err) {
  return run_or_say(err, [&] {
    const std::optional<std::string> name = MachineStore(machine_folder(station_file)).undo();
    if (name) {
      out << in_quotes(*name) << " is there again\n";
      return 0;
    }
    err << "hoopgauge: no machine was removed\n";
    return kNotAsItShouldBe;
  });
}

int run_entry(const EntryOptions& options, std::ostream& out, std::ostream& err) {
  return run_or_say(err, [&] {
    const cv::Size2d design = options.design_mm.value_or(cv::Size2d(1.0, 1.0));
    for (const double value :
         {options.rotation_deg, options.offset_mm.x, options.offset_mm.y, design.width, design.height})
      if (!std::isfinite(value))
        throw calib::FileError("rotation, offset or design is no number; write for example --rotation 2.5");
    const fs::path file = options.machine;
    const Machine machine = file.extension() == ".toml" ? machine_from_text(calib::text_of_file(file), file.string())
                                                        : named(options.station_file, options.machine);
    const vision::Pose2 wanted{options.offset_mm, options.rotation_deg * vision::kRadPerDeg};
    std::vector<cv::Point2d> hull_mm;
    if (options.design_mm) hull_mm = rectangle_design(*options.design_mm).hull_mm;
    const MachineEntry entry = machine_entry(machine, hull_mm, wanted);
    if (options.json) {
      out << json_of(machine, entry, options.units).dump() << '\n';
    } else {
      say_entry(machine, entry, options, out);
    }
    return entry.possible() ? 0 : kNotAsItShouldBe;
  });
}

}  // namespace app
