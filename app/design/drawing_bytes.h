#pragma once

#include <filesystem>
#include <string>

namespace app {

// A drawing's file, which is a plain file of at most kLargestDrawing bytes. Throws calib::FileError.
std::string drawing_bytes(const std::filesystem::path& file);

}  // namespace app
