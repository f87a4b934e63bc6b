#include "app/settings.h"

namespace app {

std::filesystem::path settings_file(const std::filesystem::path& station_file) {
  return station_file.parent_path() / "settings.toml";
}

Settings load_settings(const std::filesystem::path&) { return {}; }

void save_settings(const Settings&, const std::filesystem::path&) {}

}  // namespace app
