// The station's records and files on a stick, and back.
//
// Guarantees: a backup that is named is whole, read back from the stick; what comes back overwrites nothing. Example
// failures: a torn copy replaces the only good one; a restore brings a name back that was taken out for good.
#include <SQLiteCpp/SQLiteCpp.h>

#include <fstream>
#include <map>
#include <set>
#include <stdexcept>

#include "app/backup/backup.h"
#include "app/backup/manifest.h"
#include "app/backup/row_digest.h"
#include "app/backup/sha256.h"
#include "app/backup/sticks.h"
#include "app/records/anonymise.h"
#include "app/records/migrations.h"
#include "app/records/picture_table.h"
#include "app/records/piece_json.h"
#include "app/records/piece_log.h"
#include "app/records/piece_table.h"
#include "tests/app/sample_piece.h"
#include "tests/catch.h"
#include "tests/error_of.h"
#include "tests/temporary_folder.h"

namespace {

namespace fs = std::filesystem;

app::PieceRecord piece(const std::string& id, const std::string& name = "Ada") {
  app::PieceRecord one = sample::piece(1, name);
  one.id = id;
  return one;
}

// A station's folder, with one of everything.
struct Station {
  TemporaryFolder folder;
  fs::path file = folder.put("station.toml", "# the station\n");
  fs::path records = folder.path / "pieces.sqlite";

  Station() {
    folder.put("settings.toml", "units = \"mm\"\n");
    fs::create_directories(folder.path / "hoops");
    folder.put("hoops/round.toml", "name = \"round\"\n");
    fs::create_directories(folder.path / "jobs");
    folder.put("jobs/crest.svg", std::string("\0<svg/>", 7));
    folder.put("notes.txt", "no file of the station's");
    SQLite::Database database = app::open_to_write(records, 100);
    app::insert(database, {piece("p1"), piece("p2"), sample::inspection("i1", "p1", "2026-01-02"),
                           app::Correction{"c1", "p1", "2026-01-03", "Ben", "job", "Cap", ""},
                           app::Naming{"n1", "2026-01-04", app::Naming::Kind::rename, "Ben", "Benno"}});
    app::insert_pictures(database, {{"p1", "2026-01-01", {1, 2, 3}}});
  }
};

std::string count_in(const fs::path& file, const std::string& table) {
  SQLite::Database database(file.string(), SQLite::OPEN_READONLY);
  return database.execAndGet("SELECT count(*) FROM " + table).getString();
}

// Every file below it, with its content.
std::map<std::string, std::string> all_of(const fs::path& folder) {
  std::map<std::string, std::string> out;
  for (const auto& entry : fs::recursive_directory_iterator(folder))
    if (entry.is_regular_file()) out[entry.path().string()] = TemporaryFolder::content(entry.path());
  return out;
}

app::BackedUp backed_up(const Station& station, const TemporaryFolder& stick) {
  return app::backup_to(stick.path, station.file, {"North window", 10});
}

}  // namespace

// FIPS 180-2, appendix B: "abc" and the empty message.
TEST_CASE("SHA-256 as published", "[backup][reference]") {
  app::Sha256 abc, none;
  abc.add("abc", 3);
  CHECK(abc.hex() == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  CHECK(none.hex() == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

TEST_CASE("a backup holds the records and the files that people edit", "[backup]") {
  const Station station;
  const TemporaryFolder stick;
  std::set<std::string> told;
  const auto done = app::backup_to(stick.path, station.file, {"North window", 10},
                                   [&](const std::string& words) { told.insert(words); });
  CHECK(done.pieces == 2);
  CHECK(done.files == 4);
  CHECK(done.deleted == 0);
  CHECK(told.size() > 3);
  CHECK(done.folder.parent_path() == stick.path / "hoopgauge-backup");
  CHECK(done.folder.filename().string().starts_with("north-window-20"));
  CHECK(app::backups_in(stick.path) == std::vector{done.folder});
  CHECK(TemporaryFolder::content(done.folder / "jobs/crest.svg") == std::string("\0<svg/>", 7));
  CHECK_FALSE(fs::exists(done.folder / "notes.txt"));
  const app::Manifest manifest = app::manifest_of(done.folder);
  CHECK(manifest.station == "North window");
  CHECK(manifest.schema == static_cast<int>(app::piece_schema().size()));
  CHECK(manifest.rows.counts.at("correction") == 1);
  SQLite::Database own(station.records.string(), SQLite::OPEN_READONLY);
  SQLite::Database copy((done.folder / "pieces.sqlite").string(), SQLite::OPEN_READONLY);
  CHECK(app::row_digest(own) == app::row_digest(copy));
  CHECK(copy.execAndGet("PRAGMA journal_mode").getString() == "delete");  // one file, wherever it is opened
  for (const auto& entry : fs::directory_iterator(stick.path / "hoopgauge-backup"))
    CHECK(entry.path() == done.folder);  // nothing unfinished
}

// Guarantees: the digest tells any change of any row. Example failure: a text "1" passes for a number 1.
TEST_CASE("two databases of the same records come to the same, others do not", "[backup]") {
  const Station a, b;
  SQLite::Database one = app::open_to_write(a.records, 100), other = app::open_to_write(b.records, 100);
  const app::RowDigest before = app::row_digest(one);
  CHECK(app::row_digest(other) == before);
  one.exec("VACUUM");  // other pages, the same rows
  CHECK(app::row_digest(one) == before);
  app::insert(one, {app::Correction{"c2", "p1", "2026-01-03", "", "job", "Cap", ""}});
  app::insert(other, {app::Correction{"c2", "p1", "2026-01-03", "", "job", "Ca", "p"}});
  CHECK(app::row_digest(one).counts == app::row_digest(other).counts);
  CHECK(app::row_digest(one) != app::row_digest(other));
}

TEST_CASE("the newest backups stay, older ones of the same station go", "[backup]") {
  const Station station;
  const TemporaryFolder stick;
  const auto elsewhere = app::backup_to(stick.path, station.file, {"Another", 2}).folder;
  std::vector<fs::path> made;
  for (int i = 0; i < 4; ++i) made.push_back(app::backup_to(stick.path, station.file, {"North window", 2}).folder);
  CHECK(fs::exists(made[3]));
  CHECK(fs::exists(made[2]));
  CHECK_FALSE(fs::exists(made[1]));
  CHECK_FALSE(fs::exists(made[0]));
  CHECK(fs::exists(elsewhere));
  fs::create_directories(stick.path / "hoopgauge-backup" / "holiday pictures");
  CHECK(app::backups_in(stick.path).size() == 3);
}

// Guarantees: a backup that fails half way leaves the stick as it was. Example failure: the stick is full, and the
// older backup was deleted to make room.
TEST_CASE("a backup that cannot be finished leaves nothing behind", "[backup]") {
  const Station station;
  const TemporaryFolder stick;
  const auto first = app::backup_to(stick.path, station.file, {"North window", 1}).folder;
  const auto before = all_of(stick.path);
  int words = 0;
  CHECK_THROWS_AS(app::backup_to(stick.path, station.file, {"North window", 1},
                                 [&](const std::string&) {
                                   if (++words == 4) throw std::runtime_error("the stick was pulled out");
                                 }),
                  std::runtime_error);
  CHECK(words == 4);
  CHECK(all_of(stick.path) == before);
  CHECK(holds(error_of([&] { app::backup_to(station.file, station.file); }), "cannot be made"));  // a file, no folder
}

TEST_CASE("a restore brings what is not there, and overwrites nothing", "[backup]") {
  const Station station;
  const TemporaryFolder stick;
  backed_up(station, stick);
  // Another computer in its place, which has worked already.
  const TemporaryFolder fresh;
  const auto file = fresh.put("station.toml", "# made anew\n");
  {
    app::PieceLog log(fresh.path / "pieces.sqlite");
    app::PieceRecord own = piece("p1", "Mine");
    log.keep(own);
    log.keep(piece("new"));
    REQUIRE(log.merge(10.0));
    const app::Restored done = app::restore_from(stick.path, file);
    log.changed_beside();
    CHECK(done.pieces == 1);
    CHECK(done.rows == 5);  // with an inspection, a correction, a naming, a picture
    CHECK(done.files == 3);
    CHECK(log.newest(10).size() == 3);
    CHECK(log.picture_of("p1"));
  }
  CHECK(TemporaryFolder::content(file) == "# made anew\n");
  CHECK(TemporaryFolder::content(fresh.path / "hoops/round.toml") == "name = \"round\"\n");
  SQLite::Database database = app::open_to_write(fresh.path / "pieces.sqlite", 100);
  CHECK(database.execAndGet("SELECT operator FROM piece WHERE id = 'p1'").getString() == "Mine");
  CHECK(app::restore_from(stick.path, file).rows == 0);  // once more changes nothing
  for (const auto& entry : fs::directory_iterator(fresh.path)) CHECK_FALSE(holds(entry.path().filename(), "restoring"));
}

// Guarantees: of a stick that several stations use each gets its own back. Example failure: the newest is another's.
TEST_CASE("a restore takes this station's own, or asks which", "[backup]") {
  const Station station;
  const TemporaryFolder stick, fresh;
  const auto own = app::backup_to(stick.path, station.file, {"North window", 10}).folder;
  const auto other = app::backup_to(stick.path, station.file, {"South", 10}).folder;
  const auto file = fresh.put("station.toml", "");
  CHECK(app::restore_from(stick.path, file, "North window").folder == own);
  CHECK(app::restore_from(stick.path, file, "South").folder == other);
  CHECK(holds(error_of([&] { app::restore_from(stick.path, file, "East"); }),
              "of several stations (north-window, south)"));
  CHECK(app::restore_from(other, file, "East").folder == other);
  fs::remove_all(own);
  CHECK(app::restore_from(stick.path, file, "East").folder == other);  // one station's only: a new computer for it
}

TEST_CASE("what waited in the journal is in the backup too", "[backup]") {
  const Station station;
  const TemporaryFolder stick, fresh;
  station.folder.put("pieces.sqlite.journal", app::entry_json(piece("waiting")) + "\nhalf a li");
  backed_up(station, stick);
  const auto file = fresh.put("station.toml", "");
  CHECK(app::restore_from(stick.path, file).pieces == 3);
  CHECK_FALSE(fs::exists(fresh.path / "pieces.sqlite.journal"));
}

TEST_CASE("a name that was taken out since does not come back", "[backup][anonymise]") {
  const Station station;
  const TemporaryFolder stick;
  {
    SQLite::Database database = app::open_to_write(station.records, 100);
    app::insert(database, {piece("z1", "Zenobia"), piece("z2", "Zenobia")});
  }
  backed_up(station, stick);
  // One of her pieces is not here any more: the database was lost, and begun anew from what was shared.
  const TemporaryFolder fresh;
  const auto file = fresh.put("station.toml", "");
  {
    SQLite::Database database = app::open_to_write(fresh.path / "pieces.sqlite", 100);
    app::insert(database, {piece("z1", "Zenobia")});
    app::anonymise(database, "Zenobia");
  }
  CHECK(app::restore_from(stick.path, file).pieces == 3);
  SQLite::Database database = app::open_to_write(fresh.path / "pieces.sqlite", 100);
  CHECK(database.execAndGet("SELECT count(*) FROM piece WHERE operator = 'Zenobia'").getInt() == 0);
  CHECK(database.execAndGet("SELECT count(DISTINCT operator) FROM piece WHERE id LIKE 'z%'").getInt() == 1);
  CHECK_FALSE(holds(TemporaryFolder::content(fresh.path / "pieces.sqlite"), "Zenobia"));
}

// Guarantees: what cannot be used is refused by name before anything changes.
TEST_CASE("a backup that is damaged, newer or none is refused", "[backup]") {
  const Station station;
  const TemporaryFolder stick, fresh;
  const auto file = fresh.put("station.toml", "mine");
  const auto folder = backed_up(station, stick).folder;
  const auto before = all_of(fresh.path);
  const auto refusal = [&] { return error_of([&] { app::restore_from(stick.path, file); }); };
  const auto change = [&](const char* name, const std::string& from, const std::string& to) {
    std::string text = TemporaryFolder::content(folder / name);
    REQUIRE(holds(text, from));
    std::ofstream(folder / name, std::ios::binary) << text.replace(text.find(from), from.size(), to);
  };
  SECTION("a bit of the records") {
    change("pieces.sqlite", "North window", "Nosth window");
    CHECK(holds(refusal(), folder.filename().string() + "/pieces.sqlite: is damaged"));
  }
  SECTION("a file") {
    change("settings.toml", "mm", "mn");
    CHECK(holds(refusal(), "settings.toml: is damaged; choose another backup"));
  }
  SECTION("a file that is gone") {
    fs::remove(folder / "hoops/round.toml");
    CHECK(holds(refusal(), "round.toml: is missing"));
  }
  SECTION("the manifest") {
    fs::resize_file(folder / "manifest.json", 100);
    CHECK(holds(refusal(), "manifest.json: is damaged"));
  }
  SECTION("a manifest that leads elsewhere") {
    change("manifest.json", "settings.toml", "../../escape");
    CHECK(holds(refusal(), "escape: is missing"));
  }
  SECTION("of a newer program") {
    change("manifest.json", "\"schema\": 3", "\"schema\": 4");
    CHECK(holds(refusal(), folder.filename().string() + ": a newer version of this program wrote it"));
  }
  SECTION("none") {
    fs::remove_all(folder);
    CHECK(holds(refusal(), "no backup is there"));
  }
  CHECK(all_of(fresh.path) == before);
}

TEST_CASE("a backup of an earlier version is brought up to date", "[backup][migrations]") {
  const Station station;
  const TemporaryFolder stick, fresh;
  const auto file = fresh.put("station.toml", "");
  const auto folder = backed_up(station, stick).folder;
  // As a program of version 2 wrote it.
  fs::remove(folder / "pieces.sqlite");
  {
    SQLite::Database old((folder / "pieces.sqlite").string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
    app::migrate(old, app::piece_schema().first(2));
    old.exec(
        "INSERT INTO piece (id, time_utc, operator, job, hoop, source, live, number, sticker, readings, tries, taken, "
        "notice) VALUES ('old', '2026-01-30T08:00:00Z', 'Ada', '', '', '', 1, 4, 12, 20, 1, 1, 'none')");
  }
  app::Manifest manifest = app::manifest_of(folder);
  manifest.schema = 2;
  manifest.files[0].bytes = fs::file_size(folder / "pieces.sqlite");
  manifest.files[0].sha256 = app::sha256_of(folder / "pieces.sqlite");
  std::ofstream(folder / "manifest.json") << app::manifest_text(manifest);
  const auto before = all_of(folder);
  CHECK(app::restore_from(folder, file).pieces == 1);
  CHECK(all_of(folder) == before);  // the backup itself stays as it is
  CHECK(count_in(fresh.path / "pieces.sqlite", "piece") == "1");
}

// The lines are those of proc_pid_mountinfo(5)'s format.
TEST_CASE("sticks are what can be unplugged and written", "[backup][sticks]") {
  const TemporaryFolder root;
  const auto disk = [&](const std::string& bus, const std::string& name, const std::string& partition, bool removable) {
    const fs::path at = root.path / "sys/devices" / bus / "block" / name;
    fs::create_directories(at / partition);
    std::ofstream(at / "removable") << (removable ? "1\n" : "0\n");
    fs::create_directories(root.path / "sys/class/block");
    fs::create_directory_symlink(at / partition, root.path / "sys/class/block" / partition);
  };
  disk("mmc0", "mmcblk0", "mmcblk0p2", false);
  disk("pci/usb1/1-1", "sda", "sda1", true);
  disk("pci/usb1/1-2", "sdb", "sdb1", false);  // a hard disk on USB
  disk("pci/ata1", "sdc", "sdc1", false);
  disk("pci/usb1/1-3", "sdd", "sdd1", true);
  for (const char* folder : {"proc/self", "media/MY STICK", "media/again", "media/disk", "media/ro", "srv"})
    fs::create_directories(root.path / folder);
  std::ofstream(root.path / "proc/self/mountinfo")
      << "22 1 179:2 / / rw,noatime shared:1 - ext4 /dev/mmcblk0p2 rw\n"
         "30 22 0:5 / /proc rw,nosuid - proc proc rw\n"
         "41 22 8:1 / /media/MY\\040STICK rw,nosuid shared:9 - vfat /dev/sda1 rw,uid=1000\n"
         "42 22 8:1 / /media/again rw - vfat /dev/sda1 rw\n"
         "43 22 8:17 / /media/disk rw - ext4 /dev/sdb1 rw\n"
         "44 22 8:33 / /srv rw - ext4 /dev/sdc1 rw\n"
         "45 22 8:49 / /media/ro ro - vfat /dev/sdd1 ro\n"
         "46 22 8:65 / /media/gone rw - vfat /dev/sde1 rw\n"
         "half a line\n";
  const auto found = app::sticks(root.path);
  REQUIRE(found.size() == 2);
  CHECK(found[0].folder == "/media/MY STICK");
  CHECK(found[0].device == "sda1");
  CHECK(found[1].folder == "/media/disk");
  // A station that was started from the stick does not keep its backups on it.
  std::ofstream(root.path / "proc/self/mountinfo", std::ios::app)
      << "23 22 8:1 / /boot/firmware rw - vfat /dev/sda1 rw\n";
  CHECK(app::sticks(root.path).size() == 1);
  CHECK(app::sticks(root.path / "nowhere").empty());
}
