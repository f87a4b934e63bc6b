#include "calib/files.h"

#include "calib/atomic_write.h"
#include "calib/file_text.h"
#include "calib/toml_reader.h"

namespace calib {

vision::Station load_station(const std::filesystem::path& file, StationNeeds needs) {
  return station_from_text(text_of_file(file), file.string(), needs);
}

vision::Hoop load_hoop(const std::filesystem::path& file) { return hoop_from_text(text_of_file(file), file.string()); }

// What load would refuse is not written: the text is read back first.
void save_station(const vision::Station& station, const std::filesystem::path& file) {
  const std::string text = text_of(station);
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
