// What came of pieces: kept like the pieces, never changed, and the last one counts.
#include <SQLiteCpp/SQLiteCpp.h>

#include <cmath>

#include "app/inspect/final_error.h"
#include "app/records/inspection_fields.h"
#include "app/records/piece_json.h"
#include "app/records/piece_log.h"
#include "app/records/piece_table.h"
#include "app/words/words.h"
#include "tests/app/sample_piece.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"
#include "vision/geometry.h"

namespace {

app::Inspection inspection(const std::string& piece, double x_mm) {
  app::Inspection one;
  one.piece = piece;
  one.time_utc = "2026-02-01T08:00:00Z";
  one.operator_name = "Operator B";
  one.found_by = app::FoundBy::sticker;
  one.outcome = app::Outcome::mend;
  one.offset_x_mm = x_mm;
  one.offset_y_mm = -0.1;
  one.u_offset_mm = 0.05;
  one.note = "a thread \"hung\"";
  return one;
}

std::string line_of(app::Inspection one) {
  one.id.clear();
  return app::entry_json(one);
}

vision::Reading reading(double x_mm, double y_mm, double rotation_deg) {
  vision::Reading r;
  r.offset_x_mm = x_mm;
  r.offset_y_mm = y_mm;
  r.rotation_deg = rotation_deg;
  r.u_offset_mm = 0.03;
  r.u_rotation_deg = 0.02;
  return r;
}

}  // namespace

TEST_CASE("an inspection comes back as it was kept, and the last counts", "[records][inspection]") {
  const TemporaryFolder folder;
  const auto file = folder.path / "pieces.sqlite";
  std::string id;
  {
    app::PieceLog log(file);
    log.keep(sample::piece(1));
    log.keep(sample::piece(2));
    id = log.newest(2).at(1).id;
    CHECK_FALSE(log.inspection_of(id));
    log.keep(inspection(id, 1.5));
    REQUIRE(log.inspection_of(id));
    REQUIRE(log.merge(10.0));
    log.keep(inspection(id, 0.25));
    CHECK_THAT(log.inspection_of(id)->offset_x_mm, WithinAbs(0.25, 0.0));
  }
  const app::PieceLog log(file);
  const auto all = log.newest_inspections(10);
  REQUIRE(all.size() == 2);
  CHECK(line_of(all[0]) == line_of(inspection(id, 0.25)));
  CHECK(line_of(all[1]) == line_of(inspection(id, 1.5)));
  CHECK(std::isnan(all[0].rotation_deg));
  CHECK_THAT(log.inspection_of(id)->offset_x_mm, WithinAbs(0.25, 0.0));
  CHECK_FALSE(log.inspection_of("no such piece"));
  CHECK(log.newest(10).size() == 2);
}

TEST_CASE("inspections wait in the journal while the database is locked", "[records][inspection][trouble]") {
  const TemporaryFolder folder;
  const auto file = folder.path / "pieces.sqlite";
  constexpr app::PieceLogOptions kCurt{5000, 1, 3600.0, 3600.0};
  { const app::PieceLog made(file, kCurt); }
  {
    SQLite::Database other(file.string(), SQLite::OPEN_READWRITE);
    other.exec("BEGIN EXCLUSIVE");
    app::PieceLog log(file, kCurt);
    log.keep(inspection("a piece that is not there", 0.5));
    REQUIRE(log.flush(10.0));
    CHECK(log.newest_inspections(5).size() == 1);
    CHECK(log.newest(5).empty());
    CHECK(TemporaryFolder::content(file.string() + ".journal").find("\"found_by\":\"sticker\"") != std::string::npos);
  }
  app::PieceLog log(file, kCurt);
  REQUIRE(log.merge(10.0));
  CHECK(log.newest_inspections(5).size() == 1);
  SQLite::Database database(file.string(), SQLite::OPEN_READONLY);
  CHECK(database.execAndGet("SELECT count(*) FROM inspection").getInt() == 1);
}

TEST_CASE("an inspection's row cannot be changed or deleted", "[records][inspection]") {
  const TemporaryFolder folder;
  const auto file = folder.path / "pieces.sqlite";
  {
    app::PieceLog log(file);
    log.keep(inspection("x", 1.0));
    REQUIRE(log.merge(10.0));
  }
  SQLite::Database database = app::open_to_write(file, 100);
  CHECK_THROWS_AS(database.exec("UPDATE inspection SET offset_x_mm = 0"), SQLite::Exception);
  CHECK_THROWS_AS(database.exec("DELETE FROM inspection"), SQLite::Exception);
  CHECK(database.execAndGet("SELECT offset_x_mm FROM inspection").getDouble() == 1.0);
}

TEST_CASE("names on disk are those of inspections", "[records][inspection]") {
  for (int i = 0; i < app::kFoundByCount; ++i)
    CHECK(app::found_by_called(app::found_by_name(static_cast<app::FoundBy>(i))) == static_cast<app::FoundBy>(i));
  for (int i = 0; i < app::kOutcomeCount; ++i)
    CHECK(app::outcome_called(app::outcome_name(static_cast<app::Outcome>(i))) == static_cast<app::Outcome>(i));
  CHECK_FALSE(app::found_by_called("guess"));
  const std::string line = app::entry_json(inspection("x", 1.0));
  for (std::size_t i = 0; i < line.size(); ++i) CHECK_FALSE(app::entry_from_json(line.substr(0, i)));
}

// By hand: wanted at (10, 5) turned by 90 degrees, so the design's right is the hoop's up. Stitched 2 mm further up in
// the hoop is 2 mm right in the design; turned 1.5 degrees more is 1.5 counter-clockwise.
TEST_CASE("the final error is told in the design's own directions", "[inspection][sign]") {
  app::PieceRecord piece = sample::piece(1);
  piece.id = "p";
  piece.piece.reading = reading(10.0, 5.0, 90.0);
  const app::Inspection found = app::final_error(piece, reading(10.0, 7.0, 91.5));
  CHECK(found.piece == "p");
  CHECK_THAT(found.offset_x_mm, WithinAbs(2.0, 1e-9));
  CHECK_THAT(found.offset_y_mm, WithinAbs(0.0, 1e-9));
  CHECK_THAT(found.rotation_deg, WithinAbs(1.5, 1e-9));
  CHECK_THAT(found.u_offset_mm, WithinAbs(0.03 * std::sqrt(2.0), 1e-9));
  // Across the turn's seam.
  piece.piece.reading = reading(0.0, 0.0, 179.0);
  CHECK_THAT(app::final_error(piece, reading(0.0, 0.0, -179.5)).rotation_deg, WithinAbs(1.5, 1e-9));
}

// By hand: a basting box at 88 degrees is the wanted design's at -90, turned by half a turn less 2 degrees.
TEST_CASE("the basting box is read the way up that the piece was hooped", "[inspection][sign]") {
  app::PieceRecord piece = sample::piece(1);
  piece.piece.reading = reading(0.0, 0.0, -90.0);
  vision::StitchedRectangle box;
  box.status = vision::RectangleStatus::ok;
  box.hoop_from_rectangle = {{0.0, 1.0}, 88.0 * vision::kRadPerDeg};
  box.u_offset_mm = 0.04;
  auto found = app::final_error(piece, box);
  REQUIRE(found);
  CHECK(found->found_by == app::FoundBy::basting);
  CHECK_THAT(found->offset_x_mm, WithinAbs(-1.0, 1e-9));
  CHECK_THAT(found->offset_y_mm, WithinAbs(0.0, 1e-9));
  CHECK_THAT(found->rotation_deg, WithinAbs(-2.0, 1e-9));
  CHECK_THAT(found->u_offset_mm, WithinAbs(0.05, 1e-9));
  box.look_alikes = 4;
  box.hoop_from_rectangle.angle_rad = 1.0 * vision::kRadPerDeg;
  CHECK_THAT(app::final_error(piece, box)->rotation_deg, WithinAbs(1.0, 1e-9));
  box.status = vision::RectangleStatus::side_not_found;
  CHECK_FALSE(app::final_error(piece, box));
}

TEST_CASE("the final error in words, in both units", "[inspection][words]") {
  app::Inspection one;
  CHECK(app::final_words(one, app::Units::mm).empty());
  one.offset_x_mm = -1.24;
  one.offset_y_mm = 0.4;
  CHECK(app::final_words(one, app::Units::mm) == "1.2 mm left, 0.4 mm up");
  one.rotation_deg = -0.3;
  CHECK(app::final_words(one, app::Units::mm) == "1.2 mm left, 0.4 mm up, 0.3° clockwise");
  CHECK(app::final_words(one, app::Units::inch) == "0.05 in left, 0.02 in up, 0.3° clockwise");
  app::PieceRecord piece;
  piece.tolerance_mm = 1.4;
  piece.tolerance_deg = 0.5;
  CHECK(app::is_within(one, piece));
  piece.tolerance_mm = 1.2;
  CHECK_FALSE(app::is_within(one, piece));
}
