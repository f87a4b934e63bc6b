// The program as a person starts it.
#pragma once

#include <sys/wait.h>

#include <array>
#include <cstdio>
#include <string>
#include <utility>

#include "tests/catch.h"

// A line for the shell: exit code, and what was written to both outputs.
inline std::pair<int, std::string> run_line(const std::string& line) {
  FILE* pipe = ::popen((line + " 2>&1").c_str(), "r");
  REQUIRE(pipe != nullptr);
  std::string said;
  std::array<char, 4096> buffer{};
  while (const std::size_t count = std::fread(buffer.data(), 1, buffer.size(), pipe)) said.append(buffer.data(), count);
  const int status = ::pclose(pipe);
  return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, said};
}

inline std::pair<int, std::string> run(const std::string& arguments) {
  return run_line(std::string(HOOPGAUGE_PROGRAM) + " " + arguments);
}
