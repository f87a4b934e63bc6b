#include "app/records/migrations.h"

#include <array>
#include <string>

namespace app {
namespace {

// Measured values may be null: a piece is never refused. seq is the order of the pieces, whatever the clock did.
constexpr std::array<const char*, 2> kSteps{
    R"(
CREATE TABLE piece (
  seq INTEGER PRIMARY KEY,
  id TEXT NOT NULL UNIQUE,
  time_utc TEXT NOT NULL,
  operator TEXT NOT NULL,
  job TEXT NOT NULL,
  hoop TEXT NOT NULL,
  tolerance_mm REAL,
  tolerance_deg REAL,
  source TEXT NOT NULL,
  live INTEGER NOT NULL,
  number INTEGER NOT NULL,
  sticker INTEGER NOT NULL,
  offset_x_mm REAL,
  offset_y_mm REAL,
  rotation_deg REAL,
  u_offset_mm REAL,
  u_rotation_deg REAL,
  hoop_x_mm REAL,
  hoop_y_mm REAL,
  hoop_angle_deg REAL,
  readings INTEGER NOT NULL,
  tries INTEGER NOT NULL,
  taken INTEGER NOT NULL,
  notice TEXT NOT NULL,
  started_s REAL,
  lifted_s REAL,
  set_hoop_s REAL,
  lay_cloth_s REAL,
  press_s REAL,
  enter_s REAL,
  lift_s REAL
) STRICT;
CREATE INDEX piece_by_time ON piece (time_utc);
CREATE INDEX piece_by_operator ON piece (operator, time_utc);
)",
    // Rows of inspections are only ever added: of a piece's the last counts. Its piece may still wait in the journal,
    // or lie in a database that was put aside, so it is named and not referred to.
    R"(
ALTER TABLE piece ADD COLUMN station TEXT NOT NULL DEFAULT '';
ALTER TABLE piece ADD COLUMN garment TEXT NOT NULL DEFAULT '';
ALTER TABLE piece ADD COLUMN cloth TEXT NOT NULL DEFAULT '';
ALTER TABLE piece ADD COLUMN garment_number INTEGER NOT NULL DEFAULT 0;
ALTER TABLE piece ADD COLUMN board TEXT NOT NULL DEFAULT '';
ALTER TABLE piece ADD COLUMN machine TEXT NOT NULL DEFAULT '';
ALTER TABLE piece ADD COLUMN entered_rotation REAL;
ALTER TABLE piece ADD COLUMN jog_right_mm REAL;
ALTER TABLE piece ADD COLUMN jog_up_mm REAL;
ALTER TABLE piece ADD COLUMN left_over_mm REAL;
ALTER TABLE piece ADD COLUMN left_over_deg REAL;
ALTER TABLE piece ADD COLUMN fit_gap_mm REAL;
ALTER TABLE piece ADD COLUMN stretch_percent REAL;
ALTER TABLE piece ADD COLUMN u_stretch_percent REAL;
CREATE INDEX piece_by_job ON piece (job, time_utc);
CREATE TABLE inspection (
  seq INTEGER PRIMARY KEY,
  id TEXT NOT NULL UNIQUE,
  piece TEXT NOT NULL,
  time_utc TEXT NOT NULL,
  operator TEXT NOT NULL,
  found_by TEXT NOT NULL,
  outcome TEXT NOT NULL,
  offset_x_mm REAL,
  offset_y_mm REAL,
  rotation_deg REAL,
  u_offset_mm REAL,
  u_rotation_deg REAL,
  note TEXT NOT NULL
) STRICT;
CREATE INDEX inspection_by_piece ON inspection (piece, seq);
CREATE TRIGGER inspection_stays BEFORE UPDATE ON inspection
  BEGIN SELECT RAISE(ABORT, 'an inspection is never changed: a later one counts'); END;
CREATE TRIGGER inspection_is_kept BEFORE DELETE ON inspection
  BEGIN SELECT RAISE(ABORT, 'an inspection is never deleted: a later one counts'); END;
)",
};

int version_of(SQLite::Database& database) { return database.execAndGet("PRAGMA user_version").getInt(); }

}  // namespace

std::span<const char* const> piece_schema() { return kSteps; }

void migrate(SQLite::Database& database, std::span<const char* const> steps) {
  const int newest = static_cast<int>(steps.size());
  if (version_of(database) > newest) throw NewerSchema();
  while (version_of(database) < newest) {
    SQLite::Transaction step(database, SQLite::TransactionBehavior::IMMEDIATE);
    // Looked at again under the lock: another program may just have taken the step.
    const int version = version_of(database);
    if (version < newest) {
      database.exec(steps[static_cast<std::size_t>(version)]);
      database.exec("PRAGMA user_version = " + std::to_string(version + 1));
    }
    step.commit();
  }
}

}  // namespace app
