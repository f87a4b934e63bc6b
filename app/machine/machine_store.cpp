#include "app/machine/machine_store.h"

#include <algorithm>
#include <system_error>
#include <utility>

#include "app/in_quotes.h"
#include "app/machine/machine_file.h"
#include "app/names.h"
#include "app/places.h"
#include "app/toml_files.h"
#include "calib/atomic_write.h"
#include "calib/toml_reader.h"

namespace app {
namespace {

namespace fs = std::filesystem;

void take_in(MachineList& list, const fs::path& file) {
  Machine machine;
  try {
    machine = machine_from_text(calib::text_of_file(file), file.string());
  } catch (const calib::FileError& error) {
    list.damaged.push_back({file, error.what()});
    return;
  }
  const auto twin = std::find_if(list.machines.begin(), list.machines.end(),
                                 [&](const StoredMachine& one) { return same_name(one.machine.name, machine.name); });
  if (twin == list.machines.end())
    list.machines.push_back({file, std::move(machine)});
  else
    list.damaged.push_back({file, file.string() + ": is called " + in_quotes(machine.name) + " as " +
                                      twin->file.filename().string() + " is; give it another name in the file"});
}

void delete_file(const fs::path& file) {
  std::error_code error;
  fs::remove(file, error);
  if (error)
    throw calib::FileError(file.string() + ": cannot be removed (" + error.message() +
                           "); mend the folder's permissions");
}

}  // namespace

fs::path machine_folder(const fs::path& station_file) { return station_file.parent_path() / "machines"; }

MachineList MachineStore::list() const {
  MachineList out;
  for (const fs::path& file : toml_files(folder_)) take_in(out, file);
  std::sort(out.machines.begin(), out.machines.end(),
            [](const StoredMachine& a, const StoredMachine& b) { return name_before(a.machine.name, b.machine.name); });
  return out;
}

std::optional<StoredMachine> MachineStore::find(const std::string& name) const {
  const MachineList all = list();
  for (const StoredMachine& one : all.machines)
    if (same_name(one.machine.name, name)) return one;
  return std::nullopt;
}

fs::path MachineStore::unused_file(const std::string& name) const {
  const std::string stem = file_stem(name, "machine");
  fs::path file = folder_ / (stem + ".toml");
  for (int number = 2; fs::exists(file); ++number) file = folder_ / (stem + "-" + std::to_string(number) + ".toml");
  return file;
}

fs::path MachineStore::save(const Machine& machine, const std::string& was) const {
  const Machine checked = machine_from_text(text_of(machine), in_quotes(machine.name) + " (not saved)");
  std::optional<StoredMachine> before;
  const MachineList all = list();
  for (const StoredMachine& one : all.machines) {
    if (!was.empty() && same_name(one.machine.name, was))
      before = one;
    else if (same_name(one.machine.name, checked.name))
      throw calib::FileError("there is a machine " + in_quotes(one.machine.name) + " already; choose another name");
  }
  if (!was.empty() && !before) throw calib::FileError("there is no machine " + in_quotes(was) + " any more");
  fs::path file = before ? before->file : unused_file(checked.name);
  make_room_for(file);
  calib::write_atomically(file, text_of(checked));
  return file;
}

void MachineStore::remove(const std::string& name) const {
  const MachineList all = list();
  for (const DamagedMachine& damaged : all.damaged) {
    if (damaged.file.filename() != name) continue;
    undo_list().keep(UndoStep::Action::remove, damaged.file, "");
    return delete_file(damaged.file);
  }
  const std::optional<StoredMachine> one = find(name);
  if (!one) throw calib::FileError("there is no machine " + in_quotes(name));
  undo_list().keep(UndoStep::Action::remove, one->file, "");
  delete_file(one->file);
}

std::optional<std::string> MachineStore::undo() const {
  UndoList steps = undo_list();
  const std::optional<UndoStep> step = steps.last();
  if (!step) return std::nullopt;
  const std::string content = steps.content(*step);
  std::string name;
  try {
    name = machine_from_text(content, step->was).name;
  } catch (const calib::FileError&) {
    name = step->was;  // it was damaged when it was removed, and comes back as it was
  }
  const std::optional<StoredMachine> taken = find(name);
  const bool there_already = taken && calib::text_of_file(taken->file) == content;
  if (taken && !there_already)
    throw calib::FileError("there is a machine " + in_quotes(taken->machine.name) +
                           " again; give that one another name first");
  if (!there_already) {
    const fs::path was = folder_ / step->was;
    calib::write_atomically(fs::exists(was) ? unused_file(was.stem().string()) : was, content);
  }
  steps.drop_last();
  return name;
}

}  // namespace app
