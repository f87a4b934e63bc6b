// The taught hoops of a station: a folder with a hoop file each. Whatever is taken away or written over is kept in its
// sub-folder `removed`, and the last such step can be undone.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "app/hoops/undo_list.h"
#include "calib/files.h"
#include "vision/station.h"

namespace app {

struct StoredHoop {
  std::filesystem::path file;
  vision::Hoop hoop;
};

// A file among the hoops that cannot be used; `message` names it and says how to mend it.
struct DamagedHoop {
  std::filesystem::path file;
  std::string message;
};

struct HoopList {
  std::vector<StoredHoop> hoops;  // by name, as people count
  std::vector<DamagedHoop> damaged;
};

// A hoop of this name is there already; what() says what to do.
class NameTaken : public calib::FileError {
 public:
  using calib::FileError::FileError;
};

// What to do with a hoop whose name is taken.
enum class OnSameName { refuse, replace, rename };

struct ImportedHoop {
  std::string name;  // as it is called now
  enum class How { added, replaced, renamed, same } how = How::added;
};

// Nothing is kept in memory: each call looks at the folder. Every function throws calib::FileError when the folder or a
// file cannot be read or written; nothing is left half written.
class HoopStore {
 public:
  // The folder need not be there yet.
  explicit HoopStore(std::filesystem::path folder) : folder_(std::move(folder)) {}
  const std::filesystem::path& folder() const { return folder_; }

  // Files that end in .toml. Of two with one name the second, by file name, counts as damaged.
  HoopList list() const;
  // Throws, naming the hoops there are, when there is none of this name.
  StoredHoop find(const std::string& name) const;
  std::optional<StoredHoop> look_up(const std::string& name) const;

  // Throws NameTaken where there is a hoop of this name.
  void refuse_taken(const std::string& name) const;
  // The file written. The name is tidied. Throws NameTaken unless `replace`; the old one is then kept for undo.
  std::filesystem::path save(vision::Hoop hoop, bool replace);
  void rename(const std::string& name, const std::string& new_name);
  void remove(const std::string& name);
  // Takes back the last removal, renaming or writing over; says what it did. Nothing when there is no such step.
  std::optional<std::string> undo();

  // All of them, or those named, in one file. `replace`: the file may be there. Returns how many.
  std::size_t export_to(const std::filesystem::path& file, const std::vector<std::string>& names, bool replace) const;
  // All of them or, with a fault or with OnSameName::refuse and a name taken, none. A hoop that is there with the same
  // content is left as it is.
  std::vector<ImportedHoop> import_from(const std::filesystem::path& file, OnSameName on_same_name);

 private:
  std::filesystem::path unused_file(const std::string& name) const;
  std::string unused_name(const std::string& name) const;
  UndoList undo_list() const;

  std::filesystem::path folder_;
};

}  // namespace app
