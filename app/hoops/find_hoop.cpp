#include "app/hoops/find_hoop.h"

#include <system_error>

#include "app/hoops/hoop_store.h"
#include "app/places.h"

namespace app {

std::filesystem::path hoop_file_named(const std::string& file_or_name,
                                      const std::optional<std::filesystem::path>& station_file) {
  const std::filesystem::path file(file_or_name);
  std::error_code ignored;
  if (std::filesystem::is_regular_file(file, ignored) || file_or_name.find('/') != std::string::npos ||
      file.extension() == ".toml")
    return file;
  return HoopStore(hoop_folder(station_file ? *station_file : default_station_file())).find(file_or_name).file;
}

}  // namespace app
