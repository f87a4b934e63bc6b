// What the program is and runs on, by name and version.
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace app {

// Of the libraries in use, not of those it was built with.
std::vector<std::pair<std::string, std::string>> library_versions();

}  // namespace app
