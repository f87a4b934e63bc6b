#include "app/commands/frame_list.h"

#include <glob.h>

#include <algorithm>
#include <filesystem>

#include "app/picture.h"

namespace app {
namespace {

namespace fs = std::filesystem;

// What --overlay wrote into the folder earlier is no frame.
bool is_overlay(const fs::path& file) { return file.stem().extension() == ".overlay"; }

std::vector<std::string> pictures_in(const fs::path& folder) {
  std::vector<std::string> out;
  std::error_code error;
  for (fs::directory_iterator entry(folder, error), end; !error && entry != end; entry.increment(error))
    if (is_picture_name(entry->path()) && !is_overlay(entry->path()) && !fs::is_directory(entry->path(), error))
      out.push_back(entry->path().string());
  std::sort(out.begin(), out.end());
  return out;
}

std::vector<std::string> matches(const std::string& pattern) {
  glob_t found{};
  std::vector<std::string> out;
  if (::glob(pattern.c_str(), GLOB_TILDE, nullptr, &found) == 0)
    out.assign(found.gl_pathv, found.gl_pathv + found.gl_pathc);
  ::globfree(&found);
  return out;
}

// What one name or folder gives; the folder itself when it holds no picture.
void add(std::vector<std::string>& list, const std::string& name) {
  std::error_code error;
  const std::vector<std::string> inside =
      fs::is_directory(name, error) ? pictures_in(name) : std::vector<std::string>{};
  if (inside.empty())
    list.push_back(name);
  else
    list.insert(list.end(), inside.begin(), inside.end());
}

}  // namespace

std::vector<std::string> frame_list(const std::vector<std::string>& arguments) {
  std::vector<std::string> list;
  for (const std::string& argument : arguments) {
    std::error_code error;
    const bool pattern = argument.find_first_of("*?[") != std::string::npos && !fs::exists(argument, error);
    const std::vector<std::string> found = pattern ? matches(argument) : std::vector<std::string>{};
    if (found.empty()) add(list, argument);
    for (const std::string& one : found) add(list, one);
  }
  return list;
}

}  // namespace app
