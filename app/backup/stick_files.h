// Files on a stick: its file system may know no permissions, and its driver says "written" long before it is.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

namespace app {

// Written and synced; the folder is made. Throws calib::FileError. Not renamed into place: a backup's folder is, whole.
void write_synced(const std::filesystem::path& file, std::string_view content);
// The whole file. Throws calib::FileError.
std::string bytes_of(const std::filesystem::path& file);
// What is read of it next comes from the stick, not from the memory of what was written.
void forget_in_memory(const std::filesystem::path& file);
// A folder's entries are on the disk. Nothing happens where that cannot be.
void sync_folder(const std::filesystem::path& folder);

}  // namespace app
