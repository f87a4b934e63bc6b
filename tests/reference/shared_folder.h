// The folder of outside data that is too large or not licensed to be kept with the code.
#pragma once

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <optional>
#include <string>

#include "tests/catch.h"

namespace reference {

// $HOOPGAUGE_SHARED, else `shared` beside the project. When the variable is set the data must be there: a folder
// that is missing then fails the test instead of skipping it.
inline std::optional<std::filesystem::path> shared_folder(const std::string& below) {
  const char* named = std::getenv("HOOPGAUGE_SHARED");
  const bool must_exist = named != nullptr && *named != '\0';
  const std::filesystem::path root =
      must_exist ? std::filesystem::path(named) : std::filesystem::path(HOOPGAUGE_SOURCE_DIR).parent_path() / "shared";
  const std::filesystem::path folder = root / below;
  if (std::filesystem::exists(folder)) return folder;
  // The shared folder itself being there means that its parts should be.
  if (must_exist || std::filesystem::exists(root)) FAIL("outside data missing: " << folder.string());
  WARN("SKIPPED, nothing was checked: no outside data at " << folder.string()
                                                           << " (set HOOPGAUGE_SHARED to its place)");
  return std::nullopt;
}

}  // namespace reference
