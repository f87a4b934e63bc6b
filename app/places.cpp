#include "app/places.h"

#include <chrono>
#include <cstdlib>
#include <ctime>
#include <string>
#include <system_error>

#include "calib/atomic_write.h"
#include "calib/files.h"
#include "calib/toml_reader.h"

namespace app {
namespace {

std::filesystem::path from_environment(const char* name) {
  const char* value = std::getenv(name);
  return value != nullptr ? std::filesystem::path(value) : std::filesystem::path();
}

}  // namespace

std::filesystem::path default_station_file(bool rendered) {
  const std::filesystem::path file = std::filesystem::path(rendered ? "rendered" : "") / "station.toml";
  if (const auto state = from_environment("STATE_DIRECTORY"); state.is_absolute()) return state / file;
  if (const auto data = from_environment("XDG_DATA_HOME"); data.is_absolute()) return data / "hoopgauge" / file;
  if (const auto home = from_environment("HOME"); home.is_absolute()) return home / ".local/share/hoopgauge" / file;
  throw calib::FileError("no folder for the station's files: set HOME, or name the station file with --station FILE");
}

std::filesystem::path hoop_folder(const std::filesystem::path& station_file) {
  return station_file.parent_path() / "hoops";
}

std::filesystem::path proof_folder(const std::filesystem::path& station_file) {
  return station_file.parent_path() / "proof";
}

void make_room_for(const std::filesystem::path& file) {
  const std::filesystem::path folder = file.parent_path();
  if (folder.empty()) return;
  std::error_code fault;
  std::filesystem::create_directories(folder, fault);
  if (fault)
    throw calib::FileError(folder.string() + ": the folder cannot be made (" + fault.message() +
                           "); choose another one, or mend its permissions");
}

std::string utc_for_files() {
  const std::time_t now = std::chrono::system_clock::to_time_t(std::chrono::system_clock::now());
  std::tm parts{};
  gmtime_r(&now, &parts);
  char text[32];
  std::strftime(text, sizeof text, "%Y-%m-%dT%H%M%S", &parts);
  return text;
}

std::filesystem::path dated_name(const std::string& start) {
  const std::string stem = start + utc_for_files();
  std::filesystem::path name = stem;
  for (int number = 2; std::filesystem::exists(name); ++number) name = stem + "-" + std::to_string(number);
  return name;
}

std::filesystem::path keep_old(const std::filesystem::path& file) {
  if (!std::filesystem::exists(file)) return {};
  const std::string text = calib::text_of_file(file);
  std::filesystem::path copy = dated_name(file.string() + ".");
  calib::write_atomically(copy, text);
  return copy;
}

}  // namespace app
