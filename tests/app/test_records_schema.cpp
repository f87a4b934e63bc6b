// The log's database, brought up to date and guarded: what is in it stays.
//
// Guarantees: a station that is brought up to date keeps what it has, and nothing that was kept can be overwritten.
// Example failures: pieces of an older version are dropped with their table; a slip in a query changes every reading.
#include <SQLiteCpp/SQLiteCpp.h>

#include <array>
#include <cmath>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "app/records/migrations.h"
#include "app/records/piece_fields.h"
#include "app/records/piece_json.h"
#include "app/records/piece_log.h"
#include "app/records/piece_table.h"
#include "tests/app/sample_piece.h"
#include "tests/catch.h"
#include "tests/error_of.h"
#include "tests/temporary_folder.h"

namespace {

constexpr const char* kOldPiece =
    "INSERT INTO piece (id, time_utc, operator, job, hoop, tolerance_mm, tolerance_deg, source, live, number, sticker, "
    "offset_x_mm, rotation_deg, readings, tries, taken, notice) VALUES ('an-old-one', '2026-01-30T08:00:00Z', "
    "'Operator A', 'Polo', '130 x 180', 3.0, 1.0, 'camera', 1, 4, 12, -1.25, 0.5, 20, 1, 1, 'none')";

constexpr const char* kVersion2 =
    "UPDATE piece SET station = 'North window', garment = 'polo', jog_up_mm = -0.5; "
    "INSERT INTO inspection (id, piece, time_utc, operator, found_by, outcome, offset_x_mm, note) VALUES "
    "('i1', 'an-old-one', '2026-01-30T09:00:00Z', 'Operator B', 'ruler', 'mend', 0.75, 'a thread'), "
    "('i2', 'an-old-one', '2026-01-30T09:30:00Z', 'Operator B', 'sticker', 'good', 0.25, '')";

// As an earlier version of the program left it.
void make_old(const std::filesystem::path& file, std::size_t version) {
  SQLite::Database old(file.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
  old.exec("PRAGMA journal_mode = WAL");
  app::migrate(old, app::piece_schema().first(1));
  old.exec(kOldPiece);
  if (version < 2) return;
  app::migrate(old, app::piece_schema().first(2));
  old.exec(kVersion2);
}

// One row of each kind, then a pseudonym prepared for `record`'s `field`.
SQLite::Database with_rows(const std::filesystem::path& file) {
  SQLite::Database database = app::open_to_write(file, 100);
  app::PieceRecord piece = sample::piece(1, "Ada");
  piece.id = "p";
  app::insert(database, {piece, sample::inspection("i", "p", "2026-02-01T08:00:00Z", "Ada"),
                         app::Correction{"c", "p", "2026-02-01T09:00:00Z", "Ada", "operator", "Ada", "was Ada"},
                         app::Naming{"n", "2026-02-01T10:00:00Z", app::Naming::Kind::rename, "Ada", "Ada L."}});
  return database;
}

bool is_refused(SQLite::Database& database, const std::string& query) {
  try {
    database.exec(query);
  } catch (const SQLite::Exception& error) {
    return holds(error.what(), "never") || holds(error.what(), "only a pseudonym");
  }
  return false;
}

}  // namespace

TEST_CASE("a database of version 1 or 2 keeps all it has", "[records][migrations]") {
  const TemporaryFolder folder;
  const auto file = folder.path / "pieces.sqlite";
  const std::size_t version = GENERATE(1, 2);
  CAPTURE(version);
  make_old(file, version);
  {
    app::PieceLog log(file);
    const auto all = log.newest(10);
    REQUIRE(all.size() == 1);
    CHECK(all[0].id == "an-old-one");
    CHECK(all[0].operator_name == "Operator A");
    CHECK_THAT(all[0].piece.reading.offset_x_mm, WithinAbs(-1.25, 0.0));
    CHECK(std::isnan(all[0].piece.reading.offset_y_mm));
    CHECK(all[0].garment == (version == 2 ? "polo" : ""));
    CHECK(all[0].station == (version == 2 ? "North window" : ""));
    CHECK(std::isnan(all[0].entered.rotation));
    CHECK(std::isnan(all[0].stretch_percent));
    CHECK(log.newest_inspections(10).size() == (version == 2 ? 2 : 0));
    if (version == 2) CHECK_THAT(log.inspection_of("an-old-one")->offset_x_mm, WithinAbs(0.25, 0.0));
    log.keep(sample::piece(5));
    REQUIRE(log.merge(10.0));
    CHECK(sample::numbers(log.newest(10)) == std::vector<int>{5, 4});
    CHECK(log.count_since("2026", "") == 2);  // an old row is this station's own
  }
  SQLite::Database database = app::open_to_write(file, 100);
  CHECK(database.execAndGet("PRAGMA user_version").getInt() == static_cast<int>(app::piece_schema().size()));
  CHECK(database.execAndGet("PRAGMA integrity_check").getString() == "ok");
  CHECK(is_refused(database, "UPDATE piece SET offset_x_mm = 0 WHERE id = 'an-old-one'"));
}

TEST_CASE("a journal of version 1 keeps its pieces", "[records][migrations]") {
  nlohmann::json line = nlohmann::json::parse(app::piece_json(sample::piece(5)));
  line["id"] = "a-waiting-one";
  const app::PieceRecord any;
  app::each_field(any, [&](std::string_view name, const auto&) {
    if (app::is_later_field(name)) line.erase(std::string(name));
  });
  const auto back = app::piece_from_json(line.dump());
  REQUIRE(back);
  CHECK(back->piece.number == 5);
  CHECK(back->entered.machine.empty());
  CHECK(std::isnan(back->entered.left_over_mm));
}

// Every column of every table of records; those that hold a name are the next case's.
TEST_CASE("what was kept cannot be changed or deleted", "[records][schema]") {
  const TemporaryFolder folder;
  SQLite::Database database = with_rows(folder.path / "pieces.sqlite");
  for (const std::string table : {"piece", "inspection", "correction", "naming"}) {
    CHECK(is_refused(database, "DELETE FROM " + table));
    SQLite::Statement rows(database, "SELECT name FROM pragma_table_info('" + table + "')");
    int columns = 0;
    while (rows.executeStep()) {
      const std::string column = rows.getColumn(0).getString();
      CAPTURE(table, column);
      CHECK(is_refused(database, "UPDATE " + table + " SET " + column + " = 1"));
      ++columns;
    }
    CHECK(columns > 6);
  }
}

TEST_CASE("only a pseudonym that an erasure names takes the place of a name", "[records][schema]") {
  const TemporaryFolder folder;
  SQLite::Database database = with_rows(folder.path / "pieces.sqlite");
  struct Place {
    std::string table, column, record;
  };
  for (const Place& at :
       {Place{"piece", "operator", "p"}, Place{"inspection", "operator", "i"}, Place{"correction", "operator", "c"},
        Place{"correction", "value", "c"}, Place{"naming", "name", "n"}, Place{"naming", "new_name", "n"}}) {
    CAPTURE(at.table, at.column);
    const auto set = [&](const std::string& name) {
      return "UPDATE " + at.table + " SET " + at.column + " = '" + name + "'";
    };
    CHECK(is_refused(database, set("Operator 7K3M")));
    database.exec("INSERT INTO erasure (id, time_utc, record, field, pseudonym) VALUES ('" + at.table + at.column +
                  "', '2026-03-01T00:00:00Z', '" + at.record + "', '" + at.column + "', 'Operator 7K3M')");
    CHECK(is_refused(database, set("Ben")));
    database.exec(set("Operator 7K3M"));
    CHECK(database.execAndGet("SELECT " + at.column + " FROM " + at.table).getString() == "Operator 7K3M");
  }
}

TEST_CASE("steps of the schema are taken once and wholly", "[records][migrations]") {
  const TemporaryFolder folder;
  SQLite::Database database((folder.path / "some.sqlite").string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
  const auto version = [&] { return database.execAndGet("PRAGMA user_version").getInt(); };
  const std::array<const char*, 1> first{"CREATE TABLE a (x INTEGER) STRICT; INSERT INTO a VALUES (1);"};
  const std::array<const char*, 3> later{first[0], "ALTER TABLE a ADD COLUMN y INTEGER NOT NULL DEFAULT 7;",
                                         "CREATE TABLE b (x INTEGER) STRICT;"};
  app::migrate(database, first);
  app::migrate(database, first);
  CHECK(version() == 1);
  app::migrate(database, later);
  CHECK(version() == 3);
  CHECK(database.execAndGet("SELECT sum(y) FROM a").getInt() == 7);
  CHECK_THROWS_AS(app::migrate(database, first), app::NewerSchema);

  // The second half of the step fails: its first half is not there either.
  const std::array<const char*, 4> faulty{later[0], later[1], later[2],
                                          "CREATE TABLE c (x INTEGER); CREATE TABLE a (x);"};
  CHECK_THROWS_AS(app::migrate(database, faulty), SQLite::Exception);
  CHECK(version() == 3);
  CHECK_FALSE(database.tableExists("c"));
}
