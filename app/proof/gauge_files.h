// Readings for a gauge study out of files.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "calib/gauge_study.h"

namespace app {

struct NamedReadings {
  std::string what;  // "offset x", "value"
  std::string unit;  // "mm", "deg"; empty for a CSV
  std::vector<calib::GaugeReading> readings;
};

// A CSV whose first line names the columns operator, part, value and, not needed, trial, in any order; lines that
// begin with # and empty ones are passed over. Throws calib::FileError with file, line and mend.
NamedReadings gauge_csv(const std::filesystem::path& file);

// Of the proofs of several operators: x, y and rotation; the parts are the five stickers, the trials their values at
// each place and turn. Throws calib::FileError.
std::vector<NamedReadings> gauge_proofs(const std::vector<std::filesystem::path>& files);

}  // namespace app
