// Which pictures the arguments of `hoopgauge measure` name.
#pragma once

#include <string>
#include <vector>

namespace app {

// A name that exists stands for itself; a folder for the JPEGs and PNGs in it, by name, without
// earlier overlays; a pattern for what matches it.
// A name that stands for nothing is kept, so that it gets its own line. Each picture once a naming, in order.
std::vector<std::string> frame_list(const std::vector<std::string>& arguments);

}  // namespace app
