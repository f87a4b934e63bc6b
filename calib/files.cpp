#include "calib/files.h"

#include "calib/atomic_write.h"
#include "calib/file_text.h"
#include "calib/share_settings.h"
#include "calib/toml_reader.h"

namespace calib {

vision::Station load_station(const std::filesystem::path& file, StationNeeds needs) {
  return station_from_text(text_of_file(file), file.string(), needs);
}

vision::Hoop load_hoop(const std::filesystem::path& file) { return hoop_from_text(text_of_file(file), file.string()); }

std::optional<ShareSettings> load_share(const std::filesystem::path& station_file) {
  std::error_code ignored;
  if (!std::filesystem::exists(station_file, ignored)) return std::nullopt;
  const std::string text = text_of_file(station_file), name = station_file.string();
  const toml::table root = parse_toml(text, name);
  const Section top(name, root, "a station file");
  if (!top.has("share")) return std::nullopt;
  return read_share(top.table("share", "[share] with connection and station"));
}

namespace {

// A file that is no TOML any more has nothing that could be kept; whoever replaces it keeps the old one beside.
std::string share_text_in(const std::filesystem::path& file) {
  try {
    const auto share = load_share(file);
    return share ? text_of(*share) : std::string();
  } catch (const FileError&) {
    return {};
  }
}

}  // namespace

// What load would refuse is not written: the text is read back first.
void save_station(const vision::Station& station, const std::filesystem::path& file) {
  const std::string text = text_of(station) + share_text_in(file);
  const StationNeeds needs = station.board_marks.empty() ? StationNeeds::lens : StationNeeds::board;
  station_from_text(text, file.string() + " (not saved)", needs);
  write_atomically(file, text);
}

void save_hoop(const vision::Hoop& hoop, const std::filesystem::path& file) {
  const std::string text = text_of(hoop);
  hoop_from_text(text, file.string() + " (not saved)");
  write_atomically(file, text);
}

}  // namespace calib
