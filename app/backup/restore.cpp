#include <SQLiteCpp/SQLiteCpp.h>

#include <set>
#include <system_error>
#include <utility>

#include "app/backup/backup.h"
#include "app/backup/manifest.h"
#include "app/backup/row_digest.h"
#include "app/backup/stick_files.h"
#include "app/format.h"
#include "app/places.h"
#include "app/records/anonymise.h"
#include "app/records/migrations.h"
#include "app/records/piece_json.h"
#include "app/records/piece_log.h"
#include "app/records/piece_picture.h"
#include "app/records/piece_table.h"
#include "app/words/words.h"
#include "calib/atomic_write.h"
#include "calib/files.h"

namespace app {
namespace {

namespace fs = std::filesystem;

constexpr const char* kDatabase = "pieces.sqlite";
constexpr const char* kJournal = "pieces.sqlite.journal";
constexpr int kPatience_ms = 5000;

// A copy of the backup's database that may be changed; gone afterwards.
struct WorkingCopy {
  fs::path file;
  WorkingCopy(const fs::path& from, fs::path to) : file(std::move(to)) {
    clear();
    make_room_for(file);
    std::error_code error;
    fs::copy_file(from, file, error);
    if (error)
      throw calib::FileError(from.string() + ": cannot be copied to " + file.string() + " (" + error.message() +
                             "); make room there");
    fs::permissions(file, fs::perms::owner_read | fs::perms::owner_write, error);
  }
  ~WorkingCopy() { clear(); }
  WorkingCopy(const WorkingCopy&) = delete;
  WorkingCopy& operator=(const WorkingCopy&) = delete;
  void clear() const {
    std::error_code ignored;
    for (const char* part : {"", "-wal", "-shm", "-journal"}) fs::remove(file.string() + part, ignored);
  }
};

// Another station's records must not come in as this one's.
fs::path chosen_backup(const fs::path& folder, const std::string& station) {
  std::error_code none;
  if (fs::exists(folder / kManifestFile, none)) return folder;
  const std::vector<fs::path> all = backups_in(folder);
  if (all.empty()) throw calib::FileError(folder.string() + ": no backup is there; choose the stick that has one");
  const std::string own = name_in_backups(station);
  std::set<std::string> stations;
  for (const fs::path& one : all) {
    if (station_of_backup(one) == own) return one;
    stations.insert(station_of_backup(one));
  }
  if (stations.size() == 1) return all.front();
  std::string names;
  for (const std::string& one : stations) names += (names.empty() ? "" : ", ") + one;
  throw calib::FileError(folder.string() + ": the backups there are of several stations (" + names +
                         "), and none is this one's; name the backup's own folder to hoopgauge records restore");
}

// Brought up to date, with what waited in its journal. Throws calib::FileError that names the backup.
void prepare(const fs::path& file, const fs::path& backup) {
  try {
    SQLite::Database copy(file.string(), SQLite::OPEN_READWRITE, kPatience_ms);
    check_whole(copy);
    migrate(copy, piece_schema());
    std::error_code none;
    if (!fs::exists(backup / kJournal, none)) return;
    std::vector<LogEntry> waiting;
    const std::string text = bytes_of(backup / kJournal);
    for (std::size_t at = 0, end = 0; (end = text.find('\n', at)) != std::string::npos; at = end + 1)
      if (auto entry = entry_from_json(std::string_view(text).substr(at, end - at))) waiting.push_back(*entry);
    insert(copy, waiting);
  } catch (const NewerSchema&) {
    throw calib::FileError(backup.string() + ": a newer version of this program wrote it; install that version first");
  } catch (const SQLite::Exception& error) {
    throw calib::FileError(backup.string() + ": its records are damaged (" + error.what() + "); choose another backup");
  }
}

// "id, piece, ...": all but the place in the order, which is each database's own.
std::string columns_of(SQLite::Database& database, const std::string& table) {
  SQLite::Statement rows(database, "SELECT name FROM pragma_table_info('" + table + "') WHERE name <> 'seq'");
  std::string out;
  while (rows.executeStep()) out += (out.empty() ? "" : ", ") + rows.getColumn(0).getString();
  return out;
}

std::int64_t copy_rows(SQLite::Database& to, const std::string& from, const std::string& into,
                       const std::string& table) {
  const std::string columns = columns_of(to, table);
  return to.exec("INSERT OR IGNORE INTO " + into + "." + table + " (" + columns + ") SELECT " + columns + " FROM " +
                 from + "." + table + " ORDER BY rowid");
}

void attach(SQLite::Database& database, const fs::path& file) {
  SQLite::Statement statement(database, "ATTACH ? AS backup");
  statement.bind(1, file.string());
  statement.exec();
}

// Names that were taken out here since the backup was made are taken out of its copy first.
void take_out_names(const fs::path& copy, const fs::path& own) {
  SQLite::Database database(copy.string(), SQLite::OPEN_READWRITE, kPatience_ms);
  attach(database, own);
  copy_rows(database, "backup", "main", "erasure");
  database.exec("DETACH backup");
  apply_erasures(database);
}

Restored merge_rows(const fs::path& copy, const fs::path& own) {
  Restored out;
  SQLite::Database database = open_to_write(own, kPatience_ms);
  attach(database, copy);
  {
    SQLite::Transaction all(database, SQLite::TransactionBehavior::IMMEDIATE);
    for (const std::string table : kBackedUp) {
      const std::int64_t added = copy_rows(database, "backup", "main", table);
      out.rows += added;
      if (table == "piece") out.pieces = added;
    }
    SQLite::Statement old(database,
                          "DELETE FROM picture WHERE piece IN (SELECT piece FROM main.picture ORDER BY time_utc DESC, "
                          "piece DESC LIMIT -1 OFFSET ?)");
    old.bind(1, static_cast<std::int64_t>(kPicturesKept));
    old.exec();
    all.commit();
  }
  database.exec("DETACH backup");
  try {
    apply_erasures(database);
  } catch (const calib::FileError& error) {
    out.notice = error.what();  // all came in; it is made up for by the next that opens the records
  }
  return out;
}

std::size_t bring_files(const fs::path& backup, const Manifest& manifest, const fs::path& station) {
  std::size_t brought = 0;
  for (const BackedUpFile& one : manifest.files) {
    std::error_code none;
    if (one.name == kDatabase || one.name == kJournal || fs::exists(fs::symlink_status(station / one.name, none)))
      continue;
    make_room_for(station / one.name);
    calib::write_atomically(station / one.name, bytes_of(backup / one.name));
    ++brought;
  }
  return brought;
}

}  // namespace

Restored restore_from(const fs::path& folder, const fs::path& station_file, const std::string& name,
                      const Telling& tell) {
  const Telling say = [&](const std::string& words) {
    if (tell) tell(words);
  };
  const fs::path backup = chosen_backup(folder, name), station = station_file.parent_path(),
                 own = log_file(station_file);
  say(format(tr("Reading the backup %s"), backup.filename().string()));
  const Manifest manifest = manifest_of(backup);
  if (manifest.schema > static_cast<int>(piece_schema().size()))
    throw calib::FileError(backup.string() + ": a newer version of this program wrote it; install that version first");
  check_files(backup, manifest);
  const WorkingCopy copy(backup / kDatabase, station / ".restoring.sqlite");
  prepare(copy.file, backup);
  { open_to_write(own, kPatience_ms); }  // made, or of this version
  say(tr("Bringing in records that are not here ..."));
  take_out_names(copy.file, own);
  Restored out = merge_rows(copy.file, own);
  say(tr("Bringing in files that are not here ..."));
  out.files = bring_files(backup, manifest, station);
  out.folder = backup;
  return out;
}

}  // namespace app
