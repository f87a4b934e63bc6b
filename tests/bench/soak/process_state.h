// What a process holds: memory and handles.
#pragma once

#include <sys/resource.h>

#include <cstddef>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <sstream>
#include <string>

namespace soak {

// kB of a line of /proc/self/status, such as "RssAnon:" (the program's own memory, without mapped files); -1 where it
// is not there.
inline long status_kb(const std::string& line) {
  std::ifstream status("/proc/self/status");
  for (std::string text; std::getline(status, text);) {
    if (text.rfind(line, 0) != 0) continue;
    std::istringstream words(text.substr(line.size()));
    long kb = -1;
    words >> kb;
    return kb;
  }
  return -1;
}

inline long open_handles() {
  return std::distance(std::filesystem::directory_iterator("/proc/self/fd"), std::filesystem::directory_iterator{});
}

// Of all threads so far.
inline double processor_s() {
  rusage used{};
  ::getrusage(RUSAGE_SELF, &used);
  const auto seconds = [](const timeval& t) {
    return static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_usec);
  };
  return seconds(used.ru_utime) + seconds(used.ru_stime);
}

}  // namespace soak
