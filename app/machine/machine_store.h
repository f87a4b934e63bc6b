// The machines of a station: a folder with a TOML file each, and a way back for what was removed.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "app/hoops/undo_list.h"
#include "app/machine/machine.h"

namespace app {

struct StoredMachine {
  std::filesystem::path file;
  Machine machine;
};

// A file among the machines that cannot be used; `message` names it and says how to mend it.
struct DamagedMachine {
  std::filesystem::path file;
  std::string message;
};

struct MachineList {
  std::vector<StoredMachine> machines;  // by name, as people count
  std::vector<DamagedMachine> damaged;
};

// Nothing is kept in memory: each call looks at the folder. Throws calib::FileError.
class MachineStore {
 public:
  // The folder need not be there yet.
  explicit MachineStore(std::filesystem::path folder) : folder_(std::move(folder)) {}
  // Files that end in .toml. Of two with one name the second, by file name, counts as damaged.
  MachineList list() const;
  std::optional<StoredMachine> find(const std::string& name) const;
  // The file written; replaces the machine called `was` (empty: a new one), which may get another name by it. What
  // list() would not take, or a name that is another machine's, is refused, and nothing has changed.
  std::filesystem::path save(const Machine& machine, const std::string& was = {}) const;
  // Kept in the folder `removed`. A damaged file goes by its file name.
  void remove(const std::string& name) const;
  // The name of the machine that was removed last, and is there again; nothing: none was.
  std::optional<std::string> undo() const;
  bool can_undo() const { return undo_list().last().has_value(); }

 private:
  UndoList undo_list() const { return UndoList(folder_ / "removed"); }
  std::filesystem::path unused_file(const std::string& name) const;

  std::filesystem::path folder_;
};

std::filesystem::path machine_folder(const std::filesystem::path& station_file);

}  // namespace app
