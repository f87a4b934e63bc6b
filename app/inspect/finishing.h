// What is done with a piece after stitching, and what to beware of; in the language of the screen.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace app {

// One line a step, for this cloth's stabilizer and topping; a cloth that is not known has those of all stabilizers.
std::vector<std::string> finishing_lines(const std::string& cloth, const std::filesystem::path& station_file);
std::vector<std::string> caution_lines();

}  // namespace app
