// All pieces as short rows.
//
// Guarantees: every figure is computed from the pieces as they count now: corrected by the last correction, under the
// name the operator has now, with the inspection that counts, without those set aside; and what is new is read without
// reading all again. Example failure: a piece that was moved to another operator still counts for the first.
#include <SQLiteCpp/SQLiteCpp.h>

#include <cmath>

#include "app/records/piece_rows.h"
#include "app/records/piece_table.h"
#include "app/records/utc_time.h"
#include "tests/app/sample_piece.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

namespace {

app::PieceRecord piece(const std::string& id, const std::string& time_utc, const std::string& name = "Ada") {
  app::PieceRecord one = sample::piece(1, name);
  one.id = id;
  one.time_utc = time_utc;
  return one;
}

app::Correction correction(const std::string& id, const std::string& of, const std::string& field,
                           const std::string& value, const std::string& time_utc = "2026-02-01T08:00:00Z") {
  return {id, of, time_utc, "", field, value, ""};
}

struct Log {
  TemporaryFolder folder;
  std::filesystem::path file = folder.path / "pieces.sqlite";
  SQLite::Database database = app::open_to_write(file, 1000);
  app::PieceRows rows{file};

  void keep(const std::vector<app::LogEntry>& entries) {
    app::insert(database, entries);
    CHECK(rows.refresh());
  }
  std::vector<app::PieceRow> of(const std::string& name) const {
    app::PieceFilter filter;
    filter.operator_name = name;
    return rows.select(filter);
  }
};

}  // namespace

TEST_CASE("a short row says what was kept", "[records][rows]") {
  Log log;
  const app::PieceRecord kept = piece("a", "2026-01-31T12:00:10Z");
  log.keep({kept});
  REQUIRE(log.rows.all().size() == 1);
  const app::PieceRow& row = log.rows.all()[0];
  CHECK(row.time_s == app::seconds_of_utc(kept.time_utc));
  CHECK(log.rows.name(row.operator_name) == "Ada");
  CHECK(log.rows.name(row.job) == kept.job);
  CHECK(log.rows.name(row.garment) == kept.garment);
  CHECK(log.rows.name(row.cloth) == kept.cloth);
  CHECK(log.rows.name(row.hoop) == kept.hoop);
  CHECK(log.rows.name(row.station) == kept.station);
  CHECK(log.rows.name(row.machine) == kept.entered.machine);
  const auto same = [](float found, double wanted) {
    CHECK_THAT(static_cast<double>(found), WithinAbs(wanted, 1e-6 * std::abs(wanted)));
  };
  same(row.offset_x_mm, kept.piece.reading.offset_x_mm);
  same(row.offset_y_mm, kept.piece.reading.offset_y_mm);
  same(row.rotation_deg, kept.piece.reading.rotation_deg);
  same(row.u_offset_mm, kept.piece.reading.u_offset_mm);
  same(row.u_rotation_deg, kept.piece.reading.u_rotation_deg);
  same(row.tolerance_mm, kept.tolerance_mm);
  same(row.tolerance_deg, kept.tolerance_deg);
  same(row.hooping_s, kept.piece.phase_s[1] + kept.piece.phase_s[2]);
  same(row.enter_s, kept.piece.phase_s[3]);
  same(row.left_over_mm, kept.entered.left_over_mm);
  same(row.left_over_deg, kept.entered.left_over_deg);
  same(row.fit_gap_mm, kept.entered.fit_gap_mm);
  same(row.stretch_percent, kept.stretch_percent);
  CHECK(row.garment_number == kept.garment_number);
  CHECK(row.tries == kept.piece.tries);
  CHECK(row.taken);
  CHECK(row.live);
  CHECK_FALSE(row.set_aside);
  CHECK_FALSE(row.inspected);
}

TEST_CASE("of several corrections of one field the last by time counts", "[records][rows][correction]") {
  Log log;
  log.keep({piece("a", "2026-01-31T12:00:10Z"), piece("b", "2026-01-31T12:01:10Z")});
  log.keep({correction("2", "a", "operator", "Cy", "2026-02-02T08:00:00Z"),
            correction("1", "a", "operator", "Bo", "2026-02-01T08:00:00Z"),
            correction("3", "a", "tolerance_mm", "1.25"), correction("4", "a", "garment_number", "77")});
  CHECK(log.of("Ada").size() == 1);
  CHECK(log.of("Bo").empty());
  REQUIRE(log.of("Cy").size() == 1);
  CHECK(log.of("Cy")[0].tolerance_mm == 1.25F);
  CHECK(log.of("Cy")[0].garment_number == 77);
}

TEST_CASE("a piece that was set aside counts again when that is taken back", "[records][rows][correction]") {
  Log log;
  log.keep({piece("a", "2026-01-31T12:00:10Z")});
  log.keep({correction("1", "a", "set_aside", "1", "2026-02-01T08:00:00Z")});
  CHECK(log.rows.select({}).empty());
  app::PieceFilter with;
  with.with_set_aside = true;
  CHECK(log.rows.select(with).size() == 1);
  log.keep({correction("2", "a", "set_aside", "0", "2026-02-01T08:00:01Z")});
  CHECK(log.rows.select({}).size() == 1);
}

TEST_CASE("an operator's pieces follow the name, also the corrected ones", "[records][rows][names]") {
  Log log;
  log.keep({piece("a", "2026-01-31T12:00:10Z"), piece("b", "2026-01-31T12:01:10Z", "Bo"),
            piece("c", "2026-03-01T12:00:10Z")});
  log.keep({correction("1", "b", "operator", "Ada", "2026-02-01T08:00:00Z")});
  // What another person of the same name does later is not touched.
  log.keep({app::Naming{"n", "2026-02-02T00:00:00Z", app::Naming::Kind::rename, "Ada", "Ada Lang"}});
  CHECK(log.of("Ada Lang").size() == 2);
  CHECK(log.of("Ada").size() == 1);
}

TEST_CASE("a hidden operator stays hidden under a new name until shown", "[records][rows][names]") {
  Log log;
  using Kind = app::Naming::Kind;
  log.keep({piece("a", "2026-01-31T12:00:10Z")});
  const auto hidden = [&](const std::string& name) { return log.rows.hidden(log.of(name).at(0).operator_name); };
  CHECK_FALSE(hidden("Ada"));
  log.keep({app::Naming{"1", "2026-02-02T00:00:00Z", Kind::hide, "Ada", ""}});
  CHECK(hidden("Ada"));
  log.keep({app::Naming{"2", "2026-02-03T00:00:00Z", Kind::rename, "Ada", "Al"}});
  CHECK(hidden("Al"));
  log.keep({app::Naming{"3", "2026-02-04T00:00:00Z", Kind::show, "Al", ""}});
  CHECK_FALSE(hidden("Al"));
}

TEST_CASE("the last inspection by time counts, also when an earlier one arrives later", "[records][rows]") {
  Log log;
  app::Inspection later, earlier;
  later.id = "2", later.piece = "a", later.time_utc = "2026-02-02T00:00:00Z", later.outcome = app::Outcome::mend;
  later.offset_x_mm = 1.5;
  earlier.id = "3", earlier.piece = "a", earlier.time_utc = "2026-02-01T00:00:00Z";
  earlier.outcome = app::Outcome::reject;
  log.keep({piece("a", "2026-01-31T12:00:10Z")});
  log.keep({later});
  log.keep({earlier});
  const app::PieceRow& row = log.rows.all()[0];
  CHECK(row.inspected);
  CHECK(row.outcome == app::Outcome::mend);
  CHECK(row.final_x_mm == 1.5F);
  CHECK(std::isnan(row.final_y_mm));
}

TEST_CASE("names, days and a piece without a name select", "[records][rows][filter]") {
  Log log;
  app::PieceRecord nobody = piece("b", "2026-02-10T12:00:00Z", "");
  nobody.hoop = "90 round";
  log.keep({piece("c", "2026-02-20T12:00:00Z"), piece("a", "2026-01-31T12:00:10Z"), nobody});
  app::PieceFilter filter;
  filter.hoop = "90 round";
  CHECK(log.rows.select(filter).size() == 1);
  filter = {};
  filter.operator_name = "";
  CHECK(log.rows.select(filter).size() == 1);
  filter.operator_name = "nobody of that name";
  CHECK(log.rows.select(filter).empty());
  filter = {};
  filter.since_s = app::seconds_of_utc("2026-02-10T12:00:00Z");
  filter.until_s = app::seconds_of_utc("2026-02-20T12:00:00Z");
  REQUIRE(log.rows.select(filter).size() == 1);
  const auto all = log.rows.select({});
  CHECK(std::is_sorted(all.begin(), all.end(), [](const auto& a, const auto& b) { return a.time_s < b.time_s; }));
  app::PieceRows recent(log.file, app::seconds_of_utc("2026-02-01T00:00:00Z"));
  CHECK(recent.refresh());
  CHECK(recent.all().size() == 2);
}

TEST_CASE("nothing new is said to be nothing new, and no file is no pieces", "[records][rows]") {
  Log log;
  log.keep({piece("a", "2026-01-31T12:00:10Z")});
  CHECK_FALSE(log.rows.refresh());
  app::PieceRows none(log.folder.path / "none.sqlite");
  CHECK_FALSE(none.refresh());
  CHECK(none.all().empty());
}

TEST_CASE("a database that another took the place of is read anew", "[records][rows]") {
  Log log;
  log.keep({piece("a", "2026-01-31T12:00:10Z"), piece("b", "2026-01-31T12:00:10Z")});
  const auto other = log.folder.path / "other.sqlite";
  {
    SQLite::Database database = app::open_to_write(other, 1000);
    app::insert(database, {piece("c", "2026-01-31T12:00:10Z", "Di")});
    database.exec("PRAGMA wal_checkpoint(TRUNCATE)");
  }
  std::filesystem::rename(other, log.file);
  for (const char* part : {"-wal", "-shm"}) std::filesystem::remove(log.file.string() + part);
  CHECK(log.rows.refresh());
  CHECK(log.rows.all().size() == 1);
  CHECK(log.of("Di").size() == 1);
}

TEST_CASE("times of records are seconds since 1970 and back", "[records][time]") {
  // Known instants: the epoch; RFC 3339's example 1985-04-12T23:20:50Z; a leap day.
  CHECK(app::seconds_of_utc("1970-01-01T00:00:00Z") == 0);
  CHECK(app::seconds_of_utc("1985-04-12T23:20:50Z") == 482196050);
  CHECK(app::seconds_of_utc("2024-02-29T00:00:00Z") == 1709164800);
  for (const char* wrong : {"", "2026-02-30T00:00:00Z", "2026-01-31 12:00:00Z", "2026-01-31T24:00:00Z", "2026-01-31",
                            "2026-13-01T00:00:00Z", "2026-01-31T12:00:0xZ"})
    CHECK_FALSE(app::seconds_of_utc(wrong));
  for (std::int64_t s = 0; s < 4'000'000'000; s += 86'399'001) CHECK(app::seconds_of_utc(app::utc_text(s)) == s);
}
