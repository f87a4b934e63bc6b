// A program started by a test, and the display it runs on.
#pragma once

#include <sys/types.h>

#include <chrono>
#include <map>
#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

#include "tests/temporary_folder.h"

namespace station {

// Killed at the latest when this object goes.
class Process {
 public:
  // `environment` is added to the caller's; an empty value takes a variable away. Both outputs go into files.
  Process(const std::vector<std::string>& command, const std::map<std::string, std::string>& environment);
  ~Process();
  Process(const Process&) = delete;
  Process& operator=(const Process&) = delete;

  pid_t pid() const { return pid_; }
  void signal(int number) const;
  // The exit code (128 + signal when killed), once it has ended; nothing when it still runs after `limit`.
  std::optional<int> wait(std::chrono::milliseconds limit);
  std::string output() const;
  std::string errors() const;
  // Resident memory, kB.
  long resident_kb() const;

 private:
  TemporaryFolder folder_;
  pid_t pid_ = -1;
  std::optional<int> code_;
};

// Xvfb with one screen, whose pixels can be looked at. Needs Debian's package xvfb.
class Display {
 public:
  static bool installed();
  explicit Display(cv::Size size);

  std::string name() const { return name_; }
  // What the screen shows, 8 bit BGR.
  cv::Mat picture() const;

 private:
  TemporaryFolder folder_;
  std::optional<Process> server_;
  std::string name_;
};

}  // namespace station
