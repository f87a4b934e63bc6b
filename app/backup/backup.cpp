#include "app/backup/backup.h"

#include <SQLiteCpp/Backup.h>
#include <SQLiteCpp/SQLiteCpp.h>
#include <sqlite3.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <optional>
#include <string_view>
#include <system_error>
#include <utility>

#include "app/backup/manifest.h"
#include "app/backup/sha256.h"
#include "app/backup/stick_files.h"
#include "app/format.h"
#include "app/names.h"
#include "app/places.h"
#include "app/records/piece_log.h"
#include "app/records/piece_table.h"
#include "app/records/utc_now.h"
#include "app/words/words.h"
#include "calib/files.h"

namespace app {
namespace {

namespace fs = std::filesystem;

constexpr const char* kFolder = "hoopgauge-backup";
constexpr const char* kUnfinished = ".unfinished";
constexpr const char* kDatabase = "pieces.sqlite";
constexpr int kPagesAtOnce = 256;
constexpr int kPatience_ms = 5000;

std::string computer_name() {
  std::array<char, 256> name{};
  return ::gethostname(name.data(), name.size() - 1) == 0 ? name.data() : "";
}

// Below the station's folder: what people edit, and what waits in the journal.
std::vector<fs::path> files_of_station(const fs::path& station) {
  std::vector<fs::path> out;
  const auto add_of = [&](const fs::path& folder, auto&& wanted) {
    std::error_code none;
    for (const auto& entry : fs::directory_iterator(folder, none))
      if (entry.is_regular_file() && wanted(entry.path())) out.push_back(entry.path().lexically_relative(station));
  };
  add_of(station, [](const fs::path& file) {
    return file.extension() == ".toml" ||
           (file.filename() == std::string(kDatabase) + ".journal" && fs::file_size(file) > 0);
  });
  for (const char* folder : {"hoops", "jobs", "machines"})
    add_of(station / folder, [](const fs::path&) { return true; });
  std::sort(out.begin(), out.end());
  return out;
}

// A read transaction holds one moment of the source, for the copy and for what it is compared with.
RowDigest copy_database(const fs::path& from, const fs::path& to, const Telling& tell) {
  SQLite::Database source(from.string(), SQLite::OPEN_READWRITE, kPatience_ms);
  SQLite::Transaction moment(source);
  source.execAndGet("SELECT count(*) FROM piece");  // it begins with the first that is read
  {
    SQLite::Database copy(to.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
    SQLite::Backup backup(copy, source);
    while (backup.executeStep(kPagesAtOnce) != SQLITE_DONE) {
      const int total = std::max(1, backup.getTotalPageCount());
      tell(format(tr("Copying the records: %d %%"), 100 * (total - backup.getRemainingPageCount()) / total));
    }
  }
  {
    // One file: a stick has no place for a WAL.
    SQLite::Database copy(to.string(), SQLite::OPEN_READWRITE);
    copy.exec("PRAGMA journal_mode = DELETE");
  }
  tell(tr("Adding up the records ..."));
  return row_digest(source);
}

// Read once: what comes back from the stick is compared with this, whoever edits the original meanwhile.
BackedUpFile copy_file(const fs::path& station, const fs::path& name, const fs::path& to) {
  const std::string content = bytes_of(station / name);
  Sha256 sum;
  sum.add(content.data(), content.size());
  write_synced(to / name, content);
  return {name.generic_string(), content.size(), sum.hex()};
}

Manifest write_backup(const fs::path& station, const fs::path& to, const std::string& name, const Telling& tell) {
  Manifest manifest;
  manifest.station = name;
  manifest.time_utc = utc_now();
  fs::create_directories(to);
  const fs::path database = station / kDatabase;
  { open_to_write(database, kPatience_ms); }  // made, and of this program's version
  // The journal goes before the database: what moves from one to the other meanwhile is then in both, not in neither.
  for (const fs::path& file : files_of_station(station)) {
    tell(format(tr("Copying %s"), file.generic_string()));
    manifest.files.push_back(copy_file(station, file, to));
  }
  manifest.rows = copy_database(database, to / kDatabase, tell);
  {
    SQLite::Database copy((to / kDatabase).string(), SQLite::OPEN_READONLY);
    manifest.schema = copy.execAndGet("PRAGMA user_version").getInt();
  }
  const BackedUpFile records{kDatabase, fs::file_size(to / kDatabase), sha256_of(to / kDatabase)};
  manifest.files.insert(manifest.files.begin(), records);
  write_synced(to / kManifestFile, manifest_text(manifest));
  return manifest;
}

void read_back(const fs::path& backup, const Manifest& written, const Telling& tell) {
  tell(tr("Reading the backup back ..."));
  for (const BackedUpFile& one : written.files) forget_in_memory(backup / one.name);
  forget_in_memory(backup / kManifestFile);
  const Manifest found = manifest_of(backup);
  check_files(backup, found);
  SQLite::Database copy((backup / kDatabase).string(), SQLite::OPEN_READONLY);
  check_whole(copy);
  if (row_digest(copy) != written.rows || found.rows != written.rows || found.files.size() != written.files.size())
    throw calib::FileError(backup.string() + ": what is read back is not what was written; use another stick");
}

struct BackupName {
  std::string station, time;
  int number = 1;  // of one second's
};

// STATION-TIME, and a number behind it where there are two of a second. Nothing for another folder.
std::optional<BackupName> name_in(const fs::path& backup) {
  constexpr std::string_view kTime = "0000-00-00T000000";  // 0: a digit
  const auto digits = [](std::string_view text) {
    return !text.empty() && std::all_of(text.begin(), text.end(), [](char c) { return c >= '0' && c <= '9'; });
  };
  BackupName out;
  std::string name = backup.filename().string();
  const std::size_t dash = name.rfind('-');
  if (dash == std::string::npos) return std::nullopt;
  if (const std::string number = name.substr(dash + 1); digits(number) && number.size() <= 6) {
    out.number = std::stoi(number);
    name.resize(dash);
  }
  if (name.size() < kTime.size() + 2) return std::nullopt;
  out.time = name.substr(name.size() - kTime.size());
  for (std::size_t i = 0; i < kTime.size(); ++i)
    if (kTime[i] == '0' ? !digits(out.time.substr(i, 1)) : out.time[i] != kTime[i]) return std::nullopt;
  name.resize(name.size() - kTime.size());
  if (name.back() != '-') return std::nullopt;
  name.pop_back();
  out.station = name;
  return out;
}

// Behind all that are there: the number of one that was deleted is not given again.
fs::path new_name(const fs::path& folder, const std::string& station) {
  const std::string time = utc_for_files();
  int last = 0;
  for (const fs::path& one : backups_in(folder)) {
    const auto name = name_in(one);
    if (name->station == station && name->time == time) last = std::max(last, name->number);
  }
  return folder / kFolder /
         (last > 0 ? format("%s-%s-%d", station, time, static_cast<int>(last) + 1) : format("%s-%s", station, time));
}

std::size_t delete_old(const fs::path& folder, const std::string& station, std::size_t stay) {
  std::vector<fs::path> all = backups_in(folder);
  std::erase_if(all, [&](const fs::path& one) { return name_in(one)->station != station; });
  std::size_t deleted = 0;
  for (std::size_t i = std::max<std::size_t>(stay, 1); i < all.size(); ++i) {
    std::error_code error;
    fs::remove_all(all[i], error);
    deleted += error ? 0 : 1;
  }
  return deleted;
}

// Gone again unless it was named.
struct Unfinished {
  fs::path folder;
  explicit Unfinished(fs::path of) : folder(std::move(of)) { clear(); }
  ~Unfinished() { clear(); }
  Unfinished(const Unfinished&) = delete;
  Unfinished& operator=(const Unfinished&) = delete;
  void clear() const {
    std::error_code ignored;
    fs::remove_all(folder, ignored);
  }
};

}  // namespace

std::string station_of_backup(const fs::path& backup) {
  const auto name = name_in(backup);
  return name ? name->station : std::string();
}

std::string name_in_backups(const std::string& station) {
  return file_stem(station.empty() ? computer_name() : station, "station");
}

std::vector<fs::path> backups_in(const fs::path& folder) {
  std::vector<fs::path> out;
  std::error_code none;
  for (const auto& entry : fs::directory_iterator(folder / kFolder, none))
    if (name_in(entry.path()) && fs::exists(entry.path() / kManifestFile, none)) out.push_back(entry.path());
  const auto time_of = [](const fs::path& one) { return std::pair(name_in(one)->time, name_in(one)->number); };
  std::sort(out.begin(), out.end(), [&](const fs::path& a, const fs::path& b) { return time_of(a) > time_of(b); });
  return out;
}

BackedUp backup_to(const fs::path& folder, const fs::path& station_file, const BackupOptions& options,
                   const Telling& tell) {
  const Telling say = [&](const std::string& words) {
    if (tell) tell(words);
  };
  const fs::path all = folder / kFolder;
  const std::string name = options.station.empty() ? computer_name() : options.station;
  const std::string stem = name_in_backups(options.station);
  make_room_for(all / "any");
  const fs::path done = new_name(folder, stem);
  const Unfinished unfinished(all / (stem + kUnfinished));
  const Manifest manifest = write_backup(station_file.parent_path(), unfinished.folder, name, say);
  read_back(unfinished.folder, manifest, say);
  std::error_code error;
  fs::rename(unfinished.folder, done, error);
  if (error) throw calib::FileError(done.string() + ": cannot be named (" + error.message() + "); use another stick");
  sync_folder(all);
  BackedUp out;
  out.folder = done;
  out.pieces = manifest.rows.counts.at("piece");
  out.files = manifest.files.size() - 1;
  out.deleted = delete_old(folder, stem, options.newest_that_stay);
  sync_folder(all);
  return out;
}

}  // namespace app
