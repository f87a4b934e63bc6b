// A file that is written whole or not at all.
#pragma once

#include <filesystem>
#include <string_view>

namespace calib {

// Written beside, synced, renamed; a link is followed, the old file's permissions are kept.
// Throws FileError, and leaves the old file and no other behind.
void write_atomically(const std::filesystem::path& file, std::string_view content);

}  // namespace calib
