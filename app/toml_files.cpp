#include "app/toml_files.h"

#include <algorithm>

#include "calib/files.h"

namespace app {
namespace fs = std::filesystem;

std::vector<fs::path> toml_files(const fs::path& folder) {
  std::vector<fs::path> files;
  std::error_code error;
  if (!fs::exists(folder, error)) return files;
  for (fs::directory_iterator entry(folder, error), end; !error && entry != end; entry.increment(error)) {
    std::error_code ignored;
    if (entry->path().extension() == ".toml" && !entry->is_directory(ignored)) files.push_back(entry->path());
  }
  if (error)
    throw calib::FileError(folder.string() + ": the folder cannot be read (" + error.message() +
                           "); mend its permissions");
  std::sort(files.begin(), files.end());
  return files;
}

}  // namespace app
