// The hoop that a command line names: a file, or a taught hoop of the station by its name.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

namespace app {

// Text that names a file, holds a slash or ends in .toml stands for itself; any other is looked for among the hoops
// beside `station_file`. Throws calib::FileError, naming the hoops there are, when there is none of this name.
std::filesystem::path hoop_file_named(const std::string& file_or_name,
                                      const std::optional<std::filesystem::path>& station_file);

}  // namespace app
