// The log written out and taken in.
//
// Guarantees: a table taken in elsewhere gives the same pieces as they count, JSON lines the same records; taking them
// in again changes nothing; without names no name is in the file; a faulty file is refused whole, with line and mend.
// Example failure: a corrected operator comes back as the old one.
#include <SQLiteCpp/SQLiteCpp.h>

#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>

#include "app/exchange/export_records.h"
#include "app/exchange/flat_reader.h"
#include "app/exchange/import_records.h"
#include "app/records/piece_rows.h"
#include "app/records/piece_table.h"
#include "calib/files.h"
#include "tests/app/sample_piece.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

namespace {

struct Log {
  explicit Log(const TemporaryFolder& folder, const std::string& name)
      : file(folder.path / name), database(app::open_to_write(file, 1000)) {}
  std::vector<std::int64_t> seqs() const {
    app::PieceRows rows(file);
    rows.refresh();
    app::PieceFilter all;
    all.with_set_aside = true;
    std::vector<std::int64_t> out;
    for (const app::PieceRow& row : rows.select(all)) out.push_back(row.seq);
    return out;
  }
  std::string csv(bool no_names = false) {
    std::ostringstream out;
    app::export_csv(database, seqs(), no_names, out);
    return out.str();
  }
  std::string json_lines(bool no_names = false) {
    std::ostringstream out;
    app::export_json_lines(database, seqs(), no_names, out);
    return out.str();
  }
  std::filesystem::path file;
  SQLite::Database database;
};

// Three pieces: one corrected and inspected, one set aside, one of a renamed operator, with awkward texts.
void fill(Log& log) {
  std::vector<app::LogEntry> entries;
  for (int i = 0; i < 3; ++i) {
    app::PieceRecord one = sample::piece(i, i == 2 ? "Zoe Example" : "Mia \"Nadel\" Öz");
    one.id = "piece-" + std::to_string(i);
    one.piece.board_from_hoop.angle_rad = 0.0;
    one.entered.fit_gap_mm = app::kNotKnown;
    entries.emplace_back(one);
  }
  entries.emplace_back(app::Correction{"c1", "piece-0", "2026-02-01T08:00:00Z", "Boss Person", "operator",
                                       "Zoe Example", "was Zoe, said Mia"});
  entries.emplace_back(app::Correction{"c2", "piece-1", "2026-02-01T08:00:00Z", "", "set_aside", "1", "a try"});
  app::Inspection inspection;
  inspection.id = "i1", inspection.piece = "piece-0", inspection.time_utc = "2026-02-03T08:00:00Z";
  inspection.operator_name = "Boss Person", inspection.note = "seen by Boss Person, two\nlines";
  inspection.outcome = app::Outcome::mend, inspection.offset_x_mm = 0.7;
  entries.emplace_back(inspection);
  entries.emplace_back(
      app::Naming{"n1", "2026-02-04T00:00:00Z", app::Naming::Kind::rename, "Zoe Example", "Zoe Sample"});
  app::insert(log.database, entries);
}

std::string fault_of(const TemporaryFolder& folder, const std::string& name, const std::string& text) {
  const auto file = folder.put(name, text);
  try {
    name.ends_with(".csv") ? app::entries_from_csv(file) : app::entries_from_json_lines(file);
  } catch (const calib::FileError& error) {
    return std::string(error.what()).substr(file.string().size());
  }
  return "read";
}

}  // namespace

TEST_CASE("a table taken in elsewhere has the same pieces as they count", "[exchange][csv]") {
  const TemporaryFolder folder;
  Log from(folder, "from.sqlite"), to(folder, "to.sqlite");
  fill(from);
  const std::string table = from.csv();
  const auto entries = app::entries_from_csv(folder.put("t.csv", table));
  const app::TakenIn first = app::take_in(to.database, entries);
  CHECK(first.fresh == 5);  // three pieces, one of them set aside, an inspection
  CHECK(first.known == 0);
  CHECK(to.csv() == table);
  CHECK(app::take_in(to.database, entries).fresh == 0);
  CHECK(table.find("Zoe Sample") != std::string::npos);
  CHECK(table.find("Zoe Example") == std::string::npos);
}

TEST_CASE("JSON lines taken in elsewhere are the same records", "[exchange]") {
  const TemporaryFolder folder;
  Log from(folder, "from.sqlite"), to(folder, "to.sqlite");
  fill(from);
  const std::string lines = from.json_lines();
  CHECK(std::count(lines.begin(), lines.end(), '\n') == 7);
  const auto entries = app::entries_from_json_lines(folder.put("t.jsonl", lines));
  CHECK(app::take_in(to.database, entries).fresh == 7);
  CHECK(to.json_lines() == lines);
  CHECK(to.csv() == from.csv());
  CHECK(app::take_in(to.database, entries).fresh == 0);
}

TEST_CASE("without names no name and no note is in the file", "[exchange][privacy]") {
  const TemporaryFolder folder;
  Log log(folder, "from.sqlite");
  fill(log);
  for (const std::string& text : {log.csv(true), log.json_lines(true)}) {
    for (const char* name : {"Zoe", "Mia", "Boss", "Nadel", "lines"}) {
      CAPTURE(name);
      CHECK(text.find(name) == std::string::npos);
    }
    CHECK(text.find("Operator 1") != std::string::npos);
    CHECK(text.find("Operator 3") != std::string::npos);
    CHECK(text.find("Operator 4") == std::string::npos);
  }
}

TEST_CASE("every column has its meaning, in the table's order", "[exchange][csv]") {
  std::vector<std::string> columns, meant;
  const app::FlatPiece flat;
  app::each_column(flat, [&](std::string_view name, const auto&) { columns.emplace_back(name); });
  for (const app::ColumnMeaning& one : app::column_meanings()) meant.push_back(one.name);
  CHECK(columns == meant);
}

TEST_CASE("a table with some of the columns is enough", "[exchange][csv]") {
  const TemporaryFolder folder;
  const auto entries = app::entries_from_csv(
      folder.put("t.csv", "time_utc,id,operator,offset_x_mm\n2026-01-31T12:00:00Z,own-1,Ada,1.5\n"));
  REQUIRE(entries.size() == 1);
  const auto& piece = std::get<app::PieceRecord>(entries[0]);
  CHECK(piece.operator_name == "Ada");
  CHECK(piece.piece.reading.offset_x_mm == 1.5);
  CHECK(piece.piece.tries == 1);
  // What has no column is not known; it does not lie on the mark.
  CHECK(std::isnan(piece.piece.reading.offset_y_mm));
  CHECK(std::isnan(piece.piece.reading.rotation_deg));
  CHECK(std::isnan(piece.tolerance_mm));
}

TEST_CASE("a faulty file is refused whole, with line and mend", "[exchange][csv]") {
  const TemporaryFolder folder;
  const std::string head = "id,time_utc,offset_x_mm,tries,live,notice,inspection_id,inspection_outcome\n";
  const std::string good = "a,2026-01-31T12:00:00Z,1.5,1,0,none,,\n";
  const auto fault = [&](const std::string& line) { return fault_of(folder, "t.csv", head + good + line); };
  CHECK(fault("") == "read");
  CHECK(fault("b,2026-01-31,1,1,0,none,,\n") == ":3: time_utc must be such as 2026-01-31T12:00:00Z, not '2026-01-31'");
  CHECK(fault("b,2026-01-31T12:00:00Z,\"1,5\",1,0,none,,\n") ==
        ":3: 'offset_x_mm' must be a number with a point, not '1,5'");
  CHECK(fault("b,2026-01-31T12:00:00Z,inf,1,0,none,,\n").starts_with(":3: 'offset_x_mm'"));
  CHECK(fault("b,2026-01-31T12:00:00Z,1,one,0,none,,\n") == ":3: 'tries' must be a whole number, not 'one'");
  CHECK(fault("b,2026-01-31T12:00:00Z,1,-1,0,none,,\n") == ":3: tries, readings and garment_number are 0 or more");
  CHECK(fault("b,2026-01-31T12:00:00Z,1,1,yes,none,,\n") == ":3: 'live' must be 0 or 1, not 'yes'");
  CHECK(fault("b,2026-01-31T12:00:00Z,1,1,0,odd,,\n").starts_with(":3: 'notice' must be one of"));
  CHECK(fault("b,2026-01-31T12:00:00Z,1,1,0,none,i,odd\n").starts_with(":3: 'inspection_outcome' must be one of"));
  CHECK(fault("b,2026-01-31T12:00:00Z,1,1,0,none,,good\n").starts_with(":3: 'inspection_outcome' stands without"));
  CHECK(fault("b,2026-01-31T12:00:00Z\n") == ":3: this record has 2 fields, the header 8");
  CHECK(fault(",2026-01-31T12:00:00Z,1,1,0,none,,\n").starts_with(":3: id must be"));
  CHECK(fault_of(folder, "t.csv", "").starts_with(":1: the file is empty"));
  CHECK(fault_of(folder, "t.csv", "id;time_utc\n").starts_with(":1: the columns are separated by semicolons"));
  CHECK(fault_of(folder, "t.csv", "id,time_utc,colour\n").starts_with(":1: there is no column 'colour'"));
  CHECK(fault_of(folder, "t.csv", "id,time_utc,id\n").starts_with(":1: column 'id' stands twice"));
  CHECK(fault_of(folder, "t.csv", "id\n").starts_with(":1: column 'time_utc' is missing"));
  CHECK(fault_of(folder, "t.jsonl", "{}\n").starts_with(":1: this is no record"));
  CHECK(fault_of(folder, "t.jsonl", "\nnonsense\n").starts_with(":2: this is no record"));
  CHECK_THROWS_AS(app::entries_from_csv(folder.path / "none.csv"), calib::FileError);
  CHECK_THROWS_AS(app::entries_from_csv(folder.path), calib::FileError);
}
