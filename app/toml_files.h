// What a folder of people's files holds.
#pragma once

#include <filesystem>
#include <vector>

namespace app {

// Its files that end in .toml, by name; none where there is no such folder. Throws calib::FileError.
std::vector<std::filesystem::path> toml_files(const std::filesystem::path& folder);

}  // namespace app
