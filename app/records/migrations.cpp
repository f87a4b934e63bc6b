#include "app/records/migrations.h"

#include <array>
#include <string>

namespace app {
namespace {

// Measured values may be null: a piece is never refused. seq is the order of the pieces, whatever the clock did.
constexpr std::array<const char*, 1> kSteps{
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
