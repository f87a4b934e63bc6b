// What this station is called in its records, where a shop has several.
#pragma once

#include <filesystem>
#include <string>

namespace app {

// Empty where it has no name, or where there is no station file that can be read.
std::string own_name(const std::filesystem::path& station_file);

}  // namespace app
