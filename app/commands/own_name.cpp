#include "app/commands/own_name.h"

#include "calib/files.h"
#include "calib/share_settings.h"

namespace app {

std::string own_name(const std::filesystem::path& station_file) {
  try {
    const auto share = calib::load_share(station_file);
    return share ? share->station : std::string();
  } catch (const calib::FileError&) {
    return {};  // records alone, of other stations
  }
}

}  // namespace app
