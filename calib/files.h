// The two files that people edit: the station and the hoop (TOML). Every fault names file, line and mend.
#pragma once

#include <filesystem>
#include <optional>
#include <stdexcept>
#include <string>

#include "vision/station.h"

namespace calib {

struct ShareSettings;

// what() reads "station.toml:12: ... " and says what to write instead.
class FileError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

// What a caller needs of a station file: a lens alone is what a new station has before its board is surveyed.
enum class StationNeeds { lens, board };

// Unknown keys, wrong types, values outside their range and tags twice over are errors, and with StationNeeds::board
// fewer than four board marks. Throws FileError.
vision::Station load_station(const std::filesystem::path& file, StationNeeds needs = StationNeeds::board);
vision::Hoop load_hoop(const std::filesystem::path& file);
// The same file's [share]; nothing where it has none, or there is no such file. The rest of the file may be faulty as
// long as it is TOML. Throws FileError.
std::optional<ShareSettings> load_share(const std::filesystem::path& station_file);

// Written beside, synced, renamed: the old file stays whole until the new one is. A station may have no board marks
// yet; the [share] that stands in the old file stays. Throws FileError.
void save_station(const vision::Station& station, const std::filesystem::path& file);
void save_hoop(const vision::Hoop& hoop, const std::filesystem::path& file);

}  // namespace calib
