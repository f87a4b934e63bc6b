// `hoopgauge machine new`, `list`, `show`, `check`, `remove`, `undo`, and `hoopgauge entry`.
#pragma once

#include <filesystem>
#include <iosfwd>
#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

#include "app/settings.h"

namespace app {

// Each works on the machines beside `station_file`, says what it did in plain lines on `out` and what is wrong on
// `err`. Returns 0; 1 when something is not as it should be; 2 when it could not be done at all.

// `lines`: what differs from the usual machine, as lines of its file.
int run_machine_new(const std::filesystem::path& station_file, const std::string& name,
                    const std::vector<std::string>& lines, std::ostream& out, std::ostream& err);
// 1 when a file among them is damaged.
int run_machine_list(const std::filesystem::path& station_file, std::ostream& out, std::ostream& err);
int run_machine_show(const std::filesystem::path& station_file, const std::string& name, std::ostream& out,
                     std::ostream& err);
// 1 when a file is none of a machine.
int run_machine_check(const std::vector<std::filesystem::path>& files, std::ostream& out, std::ostream& err);
int run_machine_remove(const std::filesystem::path& station_file, const std::string& name, std::ostream& out,
                       std::ostream& err);
int run_machine_undo(const std::filesystem::path& station_file, std::ostream& out, std::ostream& err);

struct EntryOptions {
  std::filesystem::path station_file;
  std::string machine;  // its name, or a file that ends in .toml
  double rotation_deg = 0.0;
  cv::Point2d offset_mm;
  std::optional<cv::Size2d> design_mm;
  Units units = Units::mm;
  bool json = false;
};

// What to enter for a reading. 1 when the machine cannot be told so; then that is said as well.
int run_entry(const EntryOptions& options, std::ostream& out, std::ostream& err);

}  // namespace app
