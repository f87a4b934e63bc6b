#include "app/commands/records_log.h"

#include <SQLiteCpp/SQLiteCpp.h>

#include <ostream>

#include "app/commands/options.h"
#include "app/records/log_trouble.h"
#include "app/records/migrations.h"
#include "app/records/piece_log.h"
#include "app/records/piece_rows.h"
#include "app/records/piece_table.h"
#include "calib/files.h"

namespace app {
namespace {

std::string words_of(const std::exception& error, const std::filesystem::path& log) {
  LogTrouble trouble;
  trouble.kind = kind_of(error);
  trouble.file = log.string();
  trouble.detail = error.what();
  switch (trouble.kind) {
    case LogTrouble::Kind::full:
      return "the disk is full; make room on it. Nothing was changed";
    case LogTrouble::Kind::read_only:
      return trouble.file + " cannot be opened or written (" + trouble.detail +
             "); check the permissions of file and folder";
    case LogTrouble::Kind::locked:
      return "another program holds " + trouble.file + "; try again when it has done";
    case LogTrouble::Kind::damaged:
      return trouble.file + " is damaged; start the station, which puts it aside, or restore a backup";
    case LogTrouble::Kind::newer:
      return "a newer version of this program wrote " + trouble.file + "; install that version";
    default:
      return trouble.file + ": " + trouble.detail;
  }
}

}  // namespace

int with_log(const std::filesystem::path& station_file, std::ostream& err, const std::function<int()>& work) {
  try {
    return work();
  } catch (const calib::FileError& error) {
    err << "hoopgauge: " << error.what() << '\n';
  } catch (const NewerSchema& error) {
    err << "hoopgauge: " << words_of(error, log_file(station_file)) << '\n';
  } catch (const SQLite::Exception& error) {
    err << "hoopgauge: " << words_of(error, log_file(station_file)) << '\n';
  }
  return kUsage;
}

std::filesystem::path log_that_is_there(const std::filesystem::path& station_file) {
  const std::filesystem::path file = log_file(station_file);
  std::error_code error;
  if (!std::filesystem::exists(file, error))
    throw calib::FileError("there is no record of pieces yet: " + file.string() +
                           "; it is begun with the first piece, or name the station with --station");
  const int version = open_to_read(file).execAndGet("PRAGMA user_version").getInt();
  if (version > static_cast<int>(piece_schema().size())) throw NewerSchema();
  // An earlier version of the program wrote it last.
  if (version < static_cast<int>(piece_schema().size())) open_to_write(file, kCommandBusy_ms);
  return file;
}

std::vector<std::int64_t> chosen_pieces(const std::filesystem::path& log, const PieceFilter& filter) {
  PieceRows rows(log, filter.since_s);
  rows.refresh();
  std::vector<std::int64_t> out;
  for (const PieceRow& row : rows.select(filter)) out.push_back(row.seq);
  return out;
}

}  // namespace app
