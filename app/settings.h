// What people choose at the station and expect to find again: settings.toml beside the station file.
#pragma once

#include <filesystem>
#include <string>

namespace app {

enum class Units { mm, inch };

struct Settings {
  Units units = Units::mm;
  std::string language;         // ISO 639-1; empty: the system's
  bool sounds = true;           // locked, accepted, problem
  int pedal_key = 0;            // SDL keycode; 0: none was learned
  int dim_after_min = 10;       // without change on the board; 0: never
  bool large_plan = false;      // in the work view the plan is the large picture, not the camera's
  bool piece_pictures = false;  // a small one of each piece is kept with its record
  std::string operator_name;    // last chosen; empty: none
  std::string job_name;
  std::string hoop_name;
  std::string machine_name;  // empty: none
  bool operator==(const Settings&) const = default;
};

std::filesystem::path settings_file(const std::filesystem::path& station_file);
// Defaults where there is no such file or key. An unknown key, a wrong type or a value outside its range throws
// calib::FileError.
Settings load_settings(const std::filesystem::path& file);
// A file that load_settings() refuses is kept beside the new one. Throws calib::FileError, and nothing has changed.
void save_settings(const Settings& settings, const std::filesystem::path& file);

}  // namespace app
