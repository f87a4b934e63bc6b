// USB sticks and cards that are plugged in and can be written.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace app {

struct Stick {
  std::filesystem::path folder;  // where it is mounted
  std::string device;            // "sda1"
};

// In the order in which they were mounted. The disk of the system itself is none of them. `root`: below which /proc and
// /sys are looked at, for tests; the folders are as they stand there.
std::vector<Stick> sticks(const std::filesystem::path& root = "/");

}  // namespace app
