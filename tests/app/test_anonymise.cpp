// An operator's name taken out of the records for good.
//
// Guarantees: afterwards no byte of the database's files holds the name, all pieces are still there under one made-up
// name, and other stations' copies of the rows follow. Example failures: the name stands in a free page or in the WAL;
// a namesake who came later loses her name too.
#include <SQLiteCpp/SQLiteCpp.h>

#include <string>

#include "app/records/anonymise.h"
#include "app/records/picture_table.h"
#include "app/records/piece_log.h"
#include "app/records/piece_table.h"
#include "tests/app/sample_piece.h"
#include "tests/catch.h"
#include "tests/error_of.h"
#include "tests/temporary_folder.h"

namespace {

namespace fs = std::filesystem;
using Kind = app::Naming::Kind;

// Names that stand nowhere else.
constexpr const char* kBefore = "Zenobia Quast";
constexpr const char* kNow = "Zenobia Wurm";

app::PieceRecord piece(const std::string& id, const std::string& name, const std::string& time) {
  app::PieceRecord one = sample::piece(1, name);
  one.id = id;
  one.time_utc = time;
  return one;
}

// Hooped as one name and the next, inspected, corrected, renamed and hidden; a namesake came later.
void fill(SQLite::Database& database) {
  app::insert(database,
              {piece("p1", kBefore, "2026-01-01"), piece("p2", kNow, "2026-03-01"), piece("p3", "Ben", "2026-01-02"),
               piece("p4", kBefore, "2026-05-01"), sample::inspection("i1", "p3", "2026-01-03", kBefore),
               app::Correction{"c1", "p3", "2026-01-04", kBefore, "operator", kBefore, ""},
               app::Correction{"c2", "p3", "2026-01-05", "Ben", "job", kNow, ""},  // a job of that name
               app::Naming{"n1", "2026-02-01", Kind::rename, kBefore, kNow},
               app::Naming{"n2", "2026-02-02", Kind::hide, kNow, ""}});
  app::insert_pictures(database, {{"p1", "2026-01-01", {1}}, {"p3", "2026-01-02", {2}}, {"p4", "2026-05-01", {3}}});
}

std::string value(SQLite::Database& database, const std::string& what) {
  return database.execAndGet("SELECT " + what).getString();
}

bool in_any_file(const fs::path& folder, const std::string& name) {
  for (const auto& entry : fs::directory_iterator(folder))
    if (holds(TemporaryFolder::content(entry.path()), name)) return true;
  return false;
}

}  // namespace

TEST_CASE("an operator is taken out of every row that means her, and of no other", "[records][anonymise]") {
  const TemporaryFolder folder;
  SQLite::Database database = app::open_to_write(folder.path / "pieces.sqlite", 100);
  fill(database);
  const app::Anonymised done = app::anonymise(database, kNow);
  CHECK(done.records == 8);
  CHECK(done.pictures == 2);
  CHECK(done.mentions == 0);
  CHECK(done.pseudonym.size() == std::string("Operator 7K3M").size());
  CHECK(done.pseudonym.starts_with("Operator "));
  const auto& p = done.pseudonym;
  CHECK(value(database, "group_concat(operator) FROM (SELECT operator FROM piece ORDER BY id)") ==
        p + "," + p + ",Ben," + kBefore);
  CHECK(value(database, "operator FROM inspection") == p);
  CHECK(value(database, "operator || value FROM correction WHERE id = 'c1'") == p + p);
  CHECK(value(database, "operator || value FROM correction WHERE id = 'c2'") == std::string("Ben") + kNow);
  CHECK(value(database, "name || new_name FROM naming WHERE id = 'n1'") == p + p);
  CHECK(value(database, "name || new_name FROM naming WHERE id = 'n2'") == p);
  CHECK(value(database, "group_concat(piece) FROM picture") == "p4");
  CHECK(value(database, "count(*) FROM erasure WHERE pseudonym = '" + p + "'") == "8");
  CHECK(app::NameHistory(app::namings_of(database)).hidden(p));  // as she was
  CHECK(holds(error_of([&] { app::anonymise(database, kNow); }), "have no operator 'Zenobia Wurm'"));
}

TEST_CASE("no byte of the files holds the name afterwards", "[records][anonymise]") {
  const TemporaryFolder folder;
  const auto file = folder.path / "pieces.sqlite";
  {
    app::PieceLog log(file);  // has the database open, as at a station
    for (int i = 0; i < 300; ++i) log.keep(piece("p" + std::to_string(i), i % 3 ? kNow : "Ben", "2026-01-01"));
    log.keep(sample::inspection("i", "p1", "2026-01-02", kNow));
    REQUIRE(log.merge(10.0));
    REQUIRE(in_any_file(folder.path, "Zenobia"));
    CHECK(log.newest(1).at(0).operator_name == kNow);
    const app::Anonymised done = log.anonymise(kNow);
    CHECK(done.records == 201);
    CHECK_FALSE(in_any_file(folder.path, "Zenobia"));  // the WAL and the journal lie there still
    CHECK(log.newest(1).at(0).operator_name == done.pseudonym);
    CHECK(log.newest(1000).size() == 300);
    log.keep(piece("later", "Ben", "2026-02-01"));
    CHECK(log.merge(10.0));
  }
  CHECK_FALSE(in_any_file(folder.path, "Zenobia"));
  SQLite::Database database(file.string(), SQLite::OPEN_READONLY);
  CHECK(value(database, "count(*) FROM piece") == "301");
  CHECK(value(database, "max(seq) FROM piece") == "301");  // places in the order stay
  CHECK(database.execAndGet("PRAGMA integrity_check").getString() == "ok");
}

TEST_CASE("while records wait in the journal nobody is taken out", "[records][anonymise]") {
  const TemporaryFolder folder;
  const auto file = folder.path / "pieces.sqlite";
  SQLite::Database database = app::open_to_write(file, 1);
  fill(database);
  const auto journal = folder.put("pieces.sqlite.journal", "a line\n");
  CHECK(holds(error_of([&] { app::anonymise(database, kNow); }), "pieces.sqlite.journal: records wait here"));
  CHECK(value(database, "count(*) FROM erasure") == "0");
  fs::resize_file(journal, 0);
  CHECK(app::anonymise(database, kNow).records == 8);
}

// Guarantees: a name that could not be taken out of the files at once is when it is tried again.
TEST_CASE("a program that reads the records meanwhile is named", "[records][anonymise]") {
  const TemporaryFolder folder;
  const auto file = folder.path / "pieces.sqlite";
  SQLite::Database database = app::open_to_write(file, 1);
  fill(database);
  {
    SQLite::Database reader = app::open_to_read(file);
    SQLite::Statement row(reader, "SELECT * FROM piece");
    row.executeStep();
    CHECK(holds(error_of([&] { app::anonymise(database, kNow); }), "another program reads the records"));
  }
  CHECK(holds(error_of([&] { app::anonymise(database, kNow); }), "have no operator"));
  // But for the namesake's piece and the job that is called so.
  CHECK(value(database, "count(*) FROM piece WHERE operator LIKE 'Operator %'") == "2");
  CHECK(fs::file_size(file.string() + "-wal") == 0);
}

TEST_CASE("rows that another station has anonymised are so here too", "[records][anonymise]") {
  const TemporaryFolder folder;
  SQLite::Database database = app::open_to_write(folder.path / "pieces.sqlite", 100);
  fill(database);
  app::insert(database, {piece("own", kNow, "2026-03-02"), piece("newer", kNow, "2026-08-01")});
  CHECK(app::apply_erasures(database) == 0);
  // What came: erasures of two rows that are here.
  for (const std::string row : {"p1", "p2"})
    database.exec("INSERT INTO erasure (id, time_utc, record, field, pseudonym, pulled) VALUES ('e" + row +
                  "', '2026-06-01', '" + row + "', 'operator', 'Operator ABCD', 1)");
  CHECK(app::apply_erasures(database) > 0);
  const auto operator_of = [&](const std::string& id) {
    return value(database, "operator FROM piece WHERE id = '" + id + "'");
  };
  for (const char* id : {"p1", "p2", "own"}) CHECK(operator_of(id) == "Operator ABCD");
  CHECK(operator_of("p3") == "Ben");
  CHECK(operator_of("p4") == kBefore);  // a namesake's, who came after the first had another name
  CHECK(value(database, "group_concat(piece) FROM picture") == "p4");
  CHECK(operator_of("newer") == kNow);  // kept after she was taken out: whoever it is, it is said anew
  CHECK(value(database, "operator || value FROM correction WHERE id = 'c1'") == "Operator ABCDOperator ABCD");
  CHECK(value(database, "name || new_name FROM naming WHERE id = 'n1'") == "Operator ABCDOperator ABCD");
  CHECK(value(database, "count(*) FROM erasure WHERE record = 'own' AND pulled = 0") == "1");
  CHECK(app::apply_erasures(database) == 0);
}

// Guarantees: where the renaming came with its names already taken out, its time still tells two people apart. Example
// failure: at a station that never knew of the renaming the new Ada loses her name for the old one's sake.
TEST_CASE("a namesake keeps her name where only the time of the renaming is known", "[records][anonymise]") {
  const TemporaryFolder folder;
  SQLite::Database database = app::open_to_write(folder.path / "pieces.sqlite", 100);
  app::insert(database, {piece("old", "Ada", "2026-01-01"), piece("own", "Ada", "2026-01-20"),
                         piece("new", "Ada", "2026-03-01"), piece("later", "Ada Berg", "2026-03-02"),
                         app::Naming{"n", "2026-02-01", Kind::rename, "Operator ABCD", "Operator ABCD"}});
  for (const std::string row : {"old", "later"})
    database.exec("INSERT INTO erasure (id, time_utc, record, field, pseudonym, pulled) VALUES ('e" + row +
                  "', '2026-06-01', '" + row + "', 'operator', 'Operator ABCD', 1)");
  CHECK(app::apply_erasures(database) == 3);
  CHECK(value(database, "group_concat(id) FROM (SELECT id FROM piece WHERE operator = 'Operator ABCD' ORDER BY id)") ==
        "later,old,own");
  CHECK(value(database, "operator FROM piece WHERE id = 'new'") == "Ada");
}

// Guarantees: what another program's reading kept from being done is made up for by the next that opens the records.
TEST_CASE("names that stayed in the file's free pages are owed, and taken out the next time", "[records][anonymise]") {
  const TemporaryFolder folder;
  const auto file = folder.path / "pieces.sqlite";
  SQLite::Database database = app::open_to_write(file, 1);
  fill(database);
  for (const std::string row : {"p1", "p2"})
    database.exec("INSERT INTO erasure (id, time_utc, record, field, pseudonym, pulled) VALUES ('e" + row +
                  "', '2026-06-01', '" + row + "', 'operator', 'Operator ABCD', 1)");
  {
    SQLite::Database reader = app::open_to_read(file);
    SQLite::Statement row(reader, "SELECT * FROM piece");
    row.executeStep();
    CHECK(holds(error_of([&] { app::apply_erasures(database); }), "another program reads the records"));
  }
  CHECK(fs::file_size(file.string() + "-wal") > 0);
  CHECK(app::apply_erasures(database) == 0);
  CHECK(fs::file_size(file.string() + "-wal") == 0);
  CHECK(value(database, "count(*) FROM share_state") == "0");
}
