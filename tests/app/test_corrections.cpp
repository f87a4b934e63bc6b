// What was said of pieces and of names later: kept like the pieces, as rows of their own.
#include <SQLiteCpp/SQLiteCpp.h>

#include "app/records/correction_fields.h"
#include "app/records/naming_fields.h"
#include "app/records/piece_json.h"
#include "app/records/piece_log.h"
#include "app/records/piece_table.h"
#include "tests/app/sample_piece.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

namespace {

constexpr app::PieceLogOptions kCurt{5000, 1, 3600.0, 3600.0};

app::Correction correction(const std::string& piece, const std::string& field, const std::string& value) {
  return {"", piece, "2026-02-01T08:00:00Z", "Operator B", field, value, "the badge lay there from \"before\""};
}

}  // namespace

TEST_CASE("a line of the journal says which kind of record it is", "[records][corrections]") {
  const app::LogEntry entries[] = {sample::piece(1), sample::inspection("i", "p", "2026"),
                                   correction("p", "job", "Cap"),
                                   app::Naming{"n", "2026", app::Naming::Kind::show, "Ada", ""}};
  for (const app::LogEntry& entry : entries) {
    const std::string line = app::entry_json(entry);
    const auto back = app::entry_from_json(line);
    REQUIRE(back);
    CHECK(back->index() == entry.index());
    CHECK(app::entry_json(*back) == line);
    for (std::size_t i = 0; i < line.size(); ++i) CHECK_FALSE(app::entry_from_json(line.substr(0, i)));
  }
  for (const auto kind : {app::Naming::Kind::rename, app::Naming::Kind::hide, app::Naming::Kind::show})
    CHECK(app::naming_kind_called(app::naming_kind_name(kind)) == kind);
  CHECK_FALSE(app::naming_kind_called("forget"));
}

TEST_CASE("corrections and names wait in the journal while the database is locked", "[records][corrections][trouble]") {
  const TemporaryFolder folder;
  const auto file = folder.path / "pieces.sqlite";
  { const app::PieceLog made(file, kCurt); }
  {
    SQLite::Database other(file.string(), SQLite::OPEN_READWRITE);
    other.exec("BEGIN EXCLUSIVE");
    app::PieceLog log(file, kCurt);
    log.keep(correction("p", "job", "Cap"));
    log.keep(app::Naming{"", "", app::Naming::Kind::rename, "Ada", "Ada L."});
    REQUIRE(log.flush(10.0));
    CHECK_FALSE(log.trouble().empty());
  }
  app::PieceLog log(file, kCurt);
  REQUIRE(log.merge(10.0));
  SQLite::Database database(file.string(), SQLite::OPEN_READONLY);
  CHECK(database.execAndGet("SELECT piece || field || value || pulled FROM correction").getString() == "pjobCap0");
  CHECK(database.execAndGet("SELECT kind || name || new_name FROM naming WHERE time_utc > '2026'").getString() ==
        "renameAdaAda L.");
  CHECK(TemporaryFolder::content(file.string() + ".journal").empty());
}

TEST_CASE("what other stations kept is in the database, not among this station's own", "[records][corrections]") {
  const TemporaryFolder folder;
  const auto file = folder.path / "pieces.sqlite";
  {
    SQLite::Database database = app::open_to_write(file, 100);
    app::PieceRecord theirs = sample::piece(1), ours = sample::piece(2);
    theirs.id = "theirs";
    ours.id = "ours";
    app::insert(database, {theirs, sample::inspection("i", "ours", "2026-02-02T08:00:00Z")}, true);
    app::insert(database, {ours, theirs});  // their id is there: it stays theirs
    CHECK(database.execAndGet("SELECT sum(pulled) FROM piece").getInt() == 1);
  }
  const app::PieceLog log(file);
  CHECK(sample::numbers(log.newest(10)) == std::vector<int>{2});
  CHECK(log.count_since("2026", "") == 1);
  CHECK(log.count_of_job(sample::piece(1).job) == 1);
  CHECK(log.inspection_of("ours"));  // wherever it was looked at
}

// Guarantees: which inspection counts is the same on every station, in whatever order their rows arrive.
TEST_CASE("the last inspection by time counts, and of one second the later name", "[records][inspection]") {
  const TemporaryFolder folder;
  const auto file = folder.path / "pieces.sqlite";
  const auto at = [](const char* id, const char* time, double x_mm) {
    app::Inspection one = sample::inspection(id, "p", time);
    one.offset_x_mm = x_mm;
    return one;
  };
  {
    SQLite::Database database = app::open_to_write(file, 100);
    app::insert(database, {at("b", "2026-02-01T08:00:00Z", 2.0), at("a", "2026-02-01T08:00:00Z", 1.0),
                           at("z", "2026-01-01T08:00:00Z", 3.0)});
  }
  app::PieceLog log(file);
  CHECK(log.inspection_of("p")->id == "b");
  CHECK(log.newest_inspections(1).at(0).id == "b");
  log.keep(at("y", "2026-01-15T08:00:00Z", 4.0));  // kept last, but earlier
  CHECK(log.inspection_of("p")->id == "b");
  CHECK(log.newest_inspections(5).at(0).id == "b");
}
