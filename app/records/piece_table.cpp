#include "app/records/piece_table.h"

#include <sqlite3.h>

#include <cmath>
#include <limits>

#include "app/records/inspection_fields.h"
#include "app/records/migrations.h"
#include "app/records/naming_fields.h"
#include "app/records/piece_fields.h"

namespace app {
namespace {

constexpr int kReadBusy_ms = 50;

template <typename Record>
constexpr const char* kTable = "piece";
template <>
constexpr const char* kTable<Inspection> = "inspection";

// "id, time_utc, ..."
template <typename Record>
std::string columns() {
  std::string out;
  const Record any;
  each_field(any, [&](std::string_view name, const auto&) { out.append(out.empty() ? "" : ", ").append(name); });
  return out;
}

// "?, ?, ..."
template <typename Record>
std::string places() {
  std::string out;
  const Record any;
  each_field(any, [&](std::string_view, const auto&) { out += out.empty() ? "?" : ", ?"; });
  return out;
}

template <typename Record>
void bind(SQLite::Statement& statement, const Record& record) {
  int place = 0;
  each_field(record, [&](std::string_view, const auto& value) {
    using Value = std::remove_cvref_t<decltype(value)>;
    ++place;
    if constexpr (std::is_same_v<Value, bool>)
      statement.bind(place, value ? 1 : 0);
    else if constexpr (std::is_same_v<Value, double>)
      std::isfinite(value) ? statement.bind(place, value) : statement.bind(place);
    else
      statement.bind(place, value);
  });
}

template <typename Record>
Record record_in(SQLite::Statement& row) {
  Record out;
  int column = 0;
  each_field(out, [&](std::string_view, auto& value) {
    using Value = std::remove_cvref_t<decltype(value)>;
    const SQLite::Column found = row.getColumn(column++);
    if constexpr (std::is_same_v<Value, std::string>)
      value = found.getString();
    else if constexpr (std::is_same_v<Value, double>)
      value = found.isNull() ? std::numeric_limits<double>::quiet_NaN() : found.getDouble();
    else
      value = static_cast<Value>(found.getInt());
  });
  return out;
}

template <typename Record>
SQLite::Statement insertion(SQLite::Database& database) {
  return {database, std::string("INSERT INTO ") + kTable<Record> + " (" + columns<Record>() + ") VALUES (" +
                        places<Record>() + ") ON CONFLICT (id) DO NOTHING"};
}

template <typename Record>
std::vector<Record> newest_of(SQLite::Database& database, std::size_t count) {
  SQLite::Statement rows(database,
                         "SELECT " + columns<Record>() + " FROM " + kTable<Record> + " ORDER BY seq DESC LIMIT ?");
  rows.bind(1, static_cast<std::int64_t>(count));
  std::vector<Record> out;
  while (rows.executeStep()) out.push_back(record_in<Record>(rows));
  return out;
}

}  // namespace

SQLite::Database open_to_write(const std::filesystem::path& file, int busy_ms) {
  SQLite::Database database(file.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE, busy_ms);
  database.exec("PRAGMA journal_mode = WAL");
  database.exec("PRAGMA synchronous = FULL");
  database.exec("PRAGMA foreign_keys = ON");
  migrate(database, piece_schema());
  return database;
}

SQLite::Database open_to_read(const std::filesystem::path& file) {
  return SQLite::Database(file.string(), SQLite::OPEN_READONLY, kReadBusy_ms);
}

void insert(SQLite::Database& database, const std::vector<LogEntry>& entries) {
  SQLite::Transaction all(database, SQLite::TransactionBehavior::IMMEDIATE);
  SQLite::Statement of_pieces = insertion<PieceRecord>(database), of_inspections = insertion<Inspection>(database);
  for (const LogEntry& entry : entries) {
    SQLite::Statement& statement = std::holds_alternative<PieceRecord>(entry) ? of_pieces : of_inspections;
    std::visit([&](const auto& one) { bind(statement, one); }, entry);
    statement.exec();
    statement.reset();
  }
  all.commit();
}

std::vector<PieceRecord> newest(SQLite::Database& database, std::size_t count) {
  return newest_of<PieceRecord>(database, count);
}

std::vector<Inspection> newest_inspections(SQLite::Database& database, std::size_t count) {
  return newest_of<Inspection>(database, count);
}

std::optional<Inspection> inspection_of(SQLite::Database& database, const std::string& piece_id) {
  SQLite::Statement row(
      database, "SELECT " + columns<Inspection>() + " FROM inspection WHERE piece = ? ORDER BY seq DESC LIMIT 1");
  row.bind(1, piece_id);
  if (!row.executeStep()) return std::nullopt;
  return record_in<Inspection>(row);
}

std::size_t count_since(SQLite::Database& database, const std::string& time_utc, const std::string& operator_name) {
  SQLite::Statement row(database, operator_name.empty()
                                      ? "SELECT count(*) FROM piece WHERE time_utc >= :time"
                                      : "SELECT count(*) FROM piece WHERE time_utc >= :time AND operator = :operator");
  row.bind(":time", time_utc);
  if (!operator_name.empty()) row.bind(":operator", operator_name);
  row.executeStep();
  return static_cast<std::size_t>(row.getColumn(0).getInt64());
}

std::map<std::string, std::size_t> count_by_job(SQLite::Database& database) {
  SQLite::Statement rows(database, "SELECT job, count(*) FROM piece GROUP BY job");
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

std::vector<Naming> namings_of(SQLite::Database& database) {
  SQLite::Statement rows(database, "SELECT id, time_utc, kind, name, new_name FROM naming");
  std::vector<Naming> out;
  while (rows.executeStep()) {
    const auto kind = naming_kind_called(rows.getColumn(2).getString());
    if (!kind) continue;
    out.push_back({rows.getColumn(0).getString(), rows.getColumn(1).getString(), *kind, rows.getColumn(3).getString(),
                   rows.getColumn(4).getString()});
  }
  return out;
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
