// Resident memory of this process, from /proc/self/status.
#pragma once

#include <fstream>
#include <string>

namespace bench {

// MB (1024 kB); field is "VmRSS" (now) or "VmHWM" (the peak so far). 0 when the kernel does not say.
inline double resident_mb(const std::string& field) {
  std::ifstream status("/proc/self/status");
  for (std::string line; std::getline(status, line);)
    if (line.rfind(field + ":", 0) == 0) return std::stod(line.substr(field.size() + 1)) / 1024.0;
  return 0.0;
}

}  // namespace bench
