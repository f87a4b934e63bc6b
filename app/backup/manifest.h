// What a backup holds, as its manifest.json says: enough to tell that it is whole.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

#include "app/backup/row_digest.h"

namespace app {

inline constexpr const char* kManifestFile = "manifest.json";

struct BackedUpFile {
  std::string name;  // below the station's folder: "hoops/130-x-180.toml"
  std::uint64_t bytes = 0;
  std::string sha256;
};

struct Manifest {
  std::string station, time_utc;
  int schema = 0;  // of pieces.sqlite
  RowDigest rows;
  std::vector<BackedUpFile> files;
};

std::string manifest_text(const Manifest& manifest);
// Of a backup's folder. Throws calib::FileError that names it when it is none, or its manifest is damaged.
Manifest manifest_of(const std::filesystem::path& backup);
// Every file is there as it was written, and none is outside the folder. Throws calib::FileError that names the first
// that is not.
void check_files(const std::filesystem::path& backup, const Manifest& manifest);

}  // namespace app
