// What was removed, renamed or written over in a folder of hoops or machines, with a copy of each as it was.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace app {

struct UndoStep {
  enum class Action { remove, rename, replace };
  Action action = Action::remove;
  std::string time;  // UTC, such as 2026-01-31T120000
  std::string kept;  // the copy's file name, in this folder
  std::string was;   // the file's name as it was
  std::string now;   // and as it is since; empty when removed
};

// The folder `removed`, with its list undo.toml. Throws calib::FileError.
class UndoList {
 public:
  explicit UndoList(std::filesystem::path folder) : folder_(std::move(folder)) {}

  // Keeps a copy of `file`, then notes the step. The caller changes the file afterwards: whatever happens in between,
  // nothing is lost.
  void keep(UndoStep::Action action, const std::filesystem::path& file, const std::string& now);
  // A copy that no step leads back to.
  void keep_aside(const std::filesystem::path& file);

  std::optional<UndoStep> last() const;
  std::string content(const UndoStep& step) const;
  // The last step was taken back: it and its copy go.
  void drop_last();

 private:
  std::vector<UndoStep> read() const;
  void write(const std::vector<UndoStep>& steps) const;
  std::string copy(const std::filesystem::path& file, const std::string& time, const std::string& word) const;

  std::filesystem::path folder_;
};

}  // namespace app
