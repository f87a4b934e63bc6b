#include "app/records/piece_table.h"

#include <sqlite3.h>

#include "app/records/migrations.h"
#include "app/records/table_rows.h"

namespace app {
namespace {

constexpr int kReadBusy_ms = 50;

}  // namespace

SQLite::Database open_to_write(const std::filesystem::path& file, int busy_ms) {
  SQLite::Database database(file.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE, busy_ms);
  database.exec("PRAGMA journal_mode = WAL");
  database.exec("PRAGMA synchronous = FULL");
  database.exec("PRAGMA foreign_keys = ON");
  migrate(database, piece_schema());
  return database;
}

SQLite::Database open_to_read(const std::filesystem::path& file, Threads threads) {
  const int locks = threads == Threads::one ? SQLite::OPEN_NOMUTEX : 0;
  return SQLite::Database(file.string(), SQLite::OPEN_READONLY | locks, kReadBusy_ms);
}

void insert(SQLite::Database& database, const std::vector<LogEntry>& entries, bool pulled) {
  SQLite::Transaction all(database, SQLite::TransactionBehavior::IMMEDIATE);
  Insertion<PieceRecord> pieces(database, pulled);
  Insertion<Inspection> inspections(database, pulled);
  Insertion<Correction> corrections(database, pulled);
  Insertion<Naming> namings(database, pulled);
  for (const LogEntry& entry : entries) {
    if (const auto* piece = std::get_if<PieceRecord>(&entry)) pieces.add(*piece);
    if (const auto* inspection = std::get_if<Inspection>(&entry)) inspections.add(*inspection);
    if (const auto* correction = std::get_if<Correction>(&entry)) corrections.add(*correction);
    if (const auto* naming = std::get_if<Naming>(&entry)) namings.add(*naming);
  }
  all.commit();
}

std::vector<PieceRecord> newest(SQLite::Database& database, std::size_t count) {
  SQLite::Statement rows = selection<PieceRecord>(database, "WHERE pulled = 0 ORDER BY seq DESC LIMIT ?");
  rows.bind(1, static_cast<std::int64_t>(count));
  return records_in<PieceRecord>(rows);
}

std::vector<Inspection> newest_inspections(SQLite::Database& database, std::size_t count) {
  SQLite::Statement rows = selection<Inspection>(database, "ORDER BY time_utc DESC, id DESC LIMIT ?");
  rows.bind(1, static_cast<std::int64_t>(count));
  return records_in<Inspection>(rows);
}

std::optional<Inspection> inspection_of(SQLite::Database& database, const std::string& piece_id) {
  SQLite::Statement row = selection<Inspection>(database, "WHERE piece = ? ORDER BY time_utc DESC, id DESC LIMIT 1");
  row.bind(1, piece_id);
  return first_in<Inspection>(row);
}

std::size_t count_since(SQLite::Database& database, const std::string& time_utc, const std::string& operator_name) {
  std::string query = "SELECT count(*) FROM piece WHERE pulled = 0 AND time_utc >= :time";
  if (!operator_name.empty()) query += " AND operator = :operator";
  SQLite::Statement row(database, query);
  row.bind(":time", time_utc);
  if (!operator_name.empty()) row.bind(":operator", operator_name);
  row.executeStep();
  return static_cast<std::size_t>(row.getColumn(0).getInt64());
}

std::map<std::string, std::size_t> count_by_job(SQLite::Database& database) {
  SQLite::Statement rows(database, "SELECT job, count(*) FROM piece WHERE pulled = 0 GROUP BY job");
  std::map<std::string, std::size_t> out;
  while (rows.executeStep())
    out[rows.getColumn(0).getString()] = static_cast<std::size_t>(rows.getColumn(1).getInt64());
  return out;
}

bool has(SQLite::Database& database, const std::string& id) {
  SQLite::Statement row(database, "SELECT 1 FROM piece WHERE id = ?");
  row.bind(1, id);
  return row.executeStep();
}

std::vector<Correction> corrections_of_newest(SQLite::Database& database, std::size_t pieces) {
  SQLite::Statement rows = selection<Correction>(
      database, "WHERE piece IN (SELECT id FROM piece WHERE pulled = 0 ORDER BY seq DESC LIMIT ?)");
  rows.bind(1, static_cast<std::int64_t>(pieces));
  return records_in<Correction>(rows);
}

std::vector<Naming> namings_of(SQLite::Database& database) {
  // Of a later program's kinds nothing is made.
  SQLite::Statement rows = selection<Naming>(database, "WHERE kind IN ('rename', 'hide', 'show')");
  return records_in<Naming>(rows);
}

void check_whole(SQLite::Database& database) {
  const std::string found = database.execAndGet("PRAGMA quick_check(1)").getString();
  if (found != "ok") throw SQLite::Exception(found, SQLITE_CORRUPT);
}

void close_as_it_is(SQLite::Database& database) {
  sqlite3_db_config(database.getHandle(), SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 1, nullptr);
}

bool says_damaged(const SQLite::Exception& error) {
  const int kind = error.getErrorCode() & 0xFF;
  return kind == SQLITE_CORRUPT || kind == SQLITE_NOTADB;
}

}  // namespace app
