#include "app/backup/manifest.h"

#include <algorithm>
#include <nlohmann/json.hpp>
#include <system_error>

#include "app/backup/sha256.h"
#include "calib/files.h"
#include "calib/toml_reader.h"

namespace app {
namespace {

using Json = nlohmann::ordered_json;

// Nothing a damaged or foreign manifest says leads out of the folder.
bool stays_inside(const std::filesystem::path& name) {
  return !name.empty() && name.is_relative() &&
         std::none_of(name.begin(), name.end(), [](const std::filesystem::path& part) { return part == ".."; });
}

}  // namespace

std::string manifest_text(const Manifest& manifest) {
  Json out;
  out["what"] = "hoopgauge backup";
  out["station"] = manifest.station;
  out["time_utc"] = manifest.time_utc;
  out["schema"] = manifest.schema;
  for (const char* table : kBackedUp) out["rows"][table] = manifest.rows.counts.at(table);
  out["rows_sha256"] = manifest.rows.sha256;
  out["files"] = Json::array();
  for (const BackedUpFile& one : manifest.files)
    out["files"].push_back({{"name", one.name}, {"bytes", one.bytes}, {"sha256", one.sha256}});
  return out.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

Manifest manifest_of(const std::filesystem::path& backup) {
  const std::filesystem::path file = backup / kManifestFile;
  std::error_code none;
  if (!std::filesystem::exists(file, none))
    throw calib::FileError(backup.string() + ": is no backup, it has no " + kManifestFile + "; choose another folder");
  try {
    const Json in = Json::parse(calib::text_of_file(file));
    Manifest out;
    in.at("station").get_to(out.station);
    in.at("time_utc").get_to(out.time_utc);
    in.at("schema").get_to(out.schema);
    in.at("rows_sha256").get_to(out.rows.sha256);
    for (const auto& [table, count] : in.at("rows").items()) out.rows.counts[table] = count.get<std::int64_t>();
    for (const Json& one : in.at("files"))
      out.files.push_back({one.at("name").get<std::string>(), one.at("bytes").get<std::uint64_t>(),
                           one.at("sha256").get<std::string>()});
    return out;
  } catch (const Json::exception&) {
    throw calib::FileError(file.string() + ": is damaged; choose another backup");
  }
}

void check_files(const std::filesystem::path& backup, const Manifest& manifest) {
  for (const BackedUpFile& one : manifest.files) {
    const std::filesystem::path file = backup / one.name;
    std::error_code error;
    if (!stays_inside(one.name) || !std::filesystem::is_regular_file(std::filesystem::symlink_status(file, error)))
      throw calib::FileError(file.string() + ": is missing; choose another backup");
    if (std::filesystem::file_size(file, error) != one.bytes || sha256_of(file) != one.sha256)
      throw calib::FileError(file.string() + ": is damaged; choose another backup");
  }
}

}  // namespace app
