#include "app/records/migrations.h"

#include <array>
#include <string>

namespace app {
namespace {

// Measured values may be null: a piece is never refused. seq is the order of the pieces, whatever the clock did.
constexpr std::array<const char*, 3> kSteps{
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
    // Nothing is overwritten: what is said of a piece later is a row of its own. The one exception is a name that is
    // taken out for good: `erasure` says which record's field has which pseudonym instead, and only that may be
    // written. `pulled`: the row came from another station.
    R"(
ALTER TABLE piece ADD COLUMN pulled INTEGER NOT NULL DEFAULT 0;
ALTER TABLE inspection ADD COLUMN pulled INTEGER NOT NULL DEFAULT 0;
CREATE INDEX inspection_by_time ON inspection (time_utc, id);
CREATE INDEX piece_own ON piece (seq) WHERE pulled = 0;
CREATE TABLE correction (
  seq INTEGER PRIMARY KEY,
  id TEXT NOT NULL UNIQUE,
  piece TEXT NOT NULL,
  time_utc TEXT NOT NULL,
  operator TEXT NOT NULL,
  field TEXT NOT NULL,
  value TEXT NOT NULL,
  note TEXT NOT NULL,
  pulled INTEGER NOT NULL DEFAULT 0
) STRICT;
CREATE INDEX correction_by_piece ON correction (piece, seq);
CREATE TABLE naming (
  seq INTEGER PRIMARY KEY,
  id TEXT NOT NULL UNIQUE,
  time_utc TEXT NOT NULL,
  kind TEXT NOT NULL,
  name TEXT NOT NULL,
  new_name TEXT NOT NULL,
  pulled INTEGER NOT NULL DEFAULT 0
) STRICT;
CREATE TABLE erasure (
  seq INTEGER PRIMARY KEY,
  id TEXT NOT NULL UNIQUE,
  time_utc TEXT NOT NULL,
  record TEXT NOT NULL,
  field TEXT NOT NULL,
  pseudonym TEXT NOT NULL,
  pulled INTEGER NOT NULL DEFAULT 0,
  UNIQUE (record, field)
) STRICT;
CREATE TABLE picture (
  piece TEXT NOT NULL PRIMARY KEY,
  time_utc TEXT NOT NULL,
  jpeg BLOB NOT NULL CHECK (length(jpeg) <= 65536)
) STRICT;
CREATE INDEX picture_by_time ON picture (time_utc);
CREATE TABLE share_state (
  server TEXT NOT NULL,
  name TEXT NOT NULL,
  value INTEGER NOT NULL,
  PRIMARY KEY (server, name)
) STRICT;
DROP TRIGGER inspection_stays;
DROP TRIGGER inspection_is_kept;
CREATE TRIGGER piece_stays BEFORE UPDATE OF
    seq, id, time_utc, job, hoop, tolerance_mm, tolerance_deg, source, live, number, sticker,
    offset_x_mm, offset_y_mm, rotation_deg, u_offset_mm, u_rotation_deg, hoop_x_mm, hoop_y_mm, hoop_angle_deg,
    readings, tries, taken, notice, started_s, lifted_s, set_hoop_s, lay_cloth_s, press_s, enter_s, lift_s, station,
    garment, cloth, garment_number, board, machine, entered_rotation, jog_right_mm, jog_up_mm, left_over_mm,
    left_over_deg, fit_gap_mm, stretch_percent, u_stretch_percent, pulled ON piece
  BEGIN SELECT RAISE(ABORT, 'a piece is never changed: a later row counts'); END;
CREATE TRIGGER piece_is_kept BEFORE DELETE ON piece
  BEGIN SELECT RAISE(ABORT, 'a piece is never deleted: a later row counts'); END;
CREATE TRIGGER piece_operator_stays BEFORE UPDATE OF operator ON piece
  WHEN NOT EXISTS (SELECT 1 FROM erasure WHERE record = OLD.id AND field = 'operator' AND pseudonym = NEW.operator)
  BEGIN SELECT RAISE(ABORT, 'only a pseudonym takes the place of a name'); END;
CREATE TRIGGER inspection_stays BEFORE UPDATE OF
    seq, id, piece, time_utc, found_by, outcome, offset_x_mm, offset_y_mm, rotation_deg, u_offset_mm,
    u_rotation_deg, note, pulled ON inspection
  BEGIN SELECT RAISE(ABORT, 'an inspection is never changed: a later row counts'); END;
CREATE TRIGGER inspection_is_kept BEFORE DELETE ON inspection
  BEGIN SELECT RAISE(ABORT, 'an inspection is never deleted: a later row counts'); END;
CREATE TRIGGER inspection_operator_stays BEFORE UPDATE OF operator ON inspection
  WHEN NOT EXISTS (SELECT 1 FROM erasure WHERE record = OLD.id AND field = 'operator' AND pseudonym = NEW.operator)
  BEGIN SELECT RAISE(ABORT, 'only a pseudonym takes the place of a name'); END;
CREATE TRIGGER correction_stays BEFORE UPDATE OF seq, id, piece, time_utc, field, note, pulled ON correction
  BEGIN SELECT RAISE(ABORT, 'a correction is never changed: a later row counts'); END;
CREATE TRIGGER correction_is_kept BEFORE DELETE ON correction
  BEGIN SELECT RAISE(ABORT, 'a correction is never deleted: a later row counts'); END;
CREATE TRIGGER correction_operator_stays BEFORE UPDATE OF operator ON correction
  WHEN NOT EXISTS (SELECT 1 FROM erasure WHERE record = OLD.id AND field = 'operator' AND pseudonym = NEW.operator)
  BEGIN SELECT RAISE(ABORT, 'only a pseudonym takes the place of a name'); END;
CREATE TRIGGER correction_value_stays BEFORE UPDATE OF value ON correction
  WHEN NOT EXISTS (SELECT 1 FROM erasure WHERE record = OLD.id AND field = 'value' AND pseudonym = NEW.value)
  BEGIN SELECT RAISE(ABORT, 'only a pseudonym takes the place of a name'); END;
CREATE TRIGGER naming_stays BEFORE UPDATE OF seq, id, time_utc, kind, pulled ON naming
  BEGIN SELECT RAISE(ABORT, 'a renaming is never changed: a later row counts'); END;
CREATE TRIGGER naming_is_kept BEFORE DELETE ON naming
  BEGIN SELECT RAISE(ABORT, 'a renaming is never deleted: a later row counts'); END;
CREATE TRIGGER naming_name_stays BEFORE UPDATE OF name ON naming
  WHEN NOT EXISTS (SELECT 1 FROM erasure WHERE record = OLD.id AND field = 'name' AND pseudonym = NEW.name)
  BEGIN SELECT RAISE(ABORT, 'only a pseudonym takes the place of a name'); END;
CREATE TRIGGER naming_new_name_stays BEFORE UPDATE OF new_name ON naming
  WHEN NOT EXISTS (SELECT 1 FROM erasure WHERE record = OLD.id AND field = 'new_name' AND pseudonym = NEW.new_name)
  BEGIN SELECT RAISE(ABORT, 'only a pseudonym takes the place of a name'); END;
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
