// The station's records and files on a stick, and back: hoopgauge-backup/STATION-TIME/ with pieces.sqlite, the files
// that people edit, and a manifest.
#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace app {

// What is being done just now, in the operator's words; may throw to end it.
using Telling = std::function<void(const std::string&)>;

struct BackupOptions {
  std::string station;                // its name; empty: the computer's
  std::size_t newest_that_stay = 10;  // of this station
};

struct BackedUp {
  std::filesystem::path folder;
  std::int64_t pieces = 0;
  std::size_t files = 0, deleted = 0;  // deleted: older backups
};

// `folder`: the stick's. Written into a folder of its own beside, synced, read back from the stick and compared with
// what it was made from, row by row and byte by byte; then named, and only then older ones are deleted. The station may
// go on working meanwhile. What waits in the log's journal is copied too.
// Throws calib::FileError or SQLite::Exception; then nothing half done stays, and no older backup is gone.
BackedUp backup_to(const std::filesystem::path& folder, const std::filesystem::path& station_file,
                   const BackupOptions& options = {}, const Telling& tell = nullptr);

// Of all stations, the newest first.
std::vector<std::filesystem::path> backups_in(const std::filesystem::path& folder);
// What a station is called in its backups' names (`station` as in BackupOptions), and what a backup's name says.
std::string name_in_backups(const std::string& station);
std::string station_of_backup(const std::filesystem::path& backup);

struct Restored {
  std::filesystem::path folder;
  std::int64_t rows = 0;    // records that were not there
  std::int64_t pieces = 0;  // of these
  std::size_t files = 0;    // likewise
  std::string notice;       // what is to be said of the records' own file; empty: nothing
};

// `folder`: a backup's, or the stick's: then the newest of `station` (as in BackupOptions), or where there is none of
// it and the stick has one station's only, of that one. What is not there comes in: records by their id, files by their
// name; nothing is ever overwritten, and a name that was taken out for good stays out. Station and log need not be
// empty. The log may be open: PieceLog::changed_beside() tells it. Throws calib::FileError that names the backup,
// before anything has changed: it is damaged, a newer version of the program wrote it, or which one is meant cannot be
// told. Throws SQLite::Exception where the station's own records cannot be written.
Restored restore_from(const std::filesystem::path& folder, const std::filesystem::path& station_file,
                      const std::string& station = {}, const Telling& tell = nullptr);

}  // namespace app
