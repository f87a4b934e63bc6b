// The log's tables in their database. Every function throws SQLite::Exception.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <cstddef>
#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "app/records/log_entry.h"
#include "app/records/naming.h"

namespace app {

// Opened or made, its schema brought up to date (NewerSchema where that cannot be). What is committed is on disk when
// the commit returns. Waits so long for another program's lock.
SQLite::Database open_to_write(const std::filesystem::path& file, int busy_ms);
// Never waits long, changes nothing. For one thread at a time it reads faster.
enum class Threads { any, one };
SQLite::Database open_to_read(const std::filesystem::path& file, Threads threads = Threads::any);

// All or none; a record whose id is there stays as it is. `pulled`: they come from another station.
void insert(SQLite::Database& database, const std::vector<LogEntry>& entries, bool pulled = false);

// This station's pieces, in the order in which they were hooped, the newest first.
std::vector<PieceRecord> newest(SQLite::Database& database, std::size_t count);
std::size_t count_since(SQLite::Database& database, const std::string& time_utc, const std::string& operator_name);
// Of this station, for every job that has pieces; "" has those without one.
std::map<std::string, std::size_t> count_by_job(SQLite::Database& database);
bool has(SQLite::Database& database, const std::string& id);

// Of all stations, the last first by time and then by id.
std::vector<Inspection> newest_inspections(SQLite::Database& database, std::size_t count);
// The one that counts.
std::optional<Inspection> inspection_of(SQLite::Database& database, const std::string& piece_id);

// Of as many of this station's newest pieces, in no order.
std::vector<Correction> corrections_of_newest(SQLite::Database& database, std::size_t pieces);
// All of them, in no order.
std::vector<Naming> namings_of(SQLite::Database& database);

// Reads it all. Throws with the code SQLITE_CORRUPT for a damaged one.
void check_whole(SQLite::Database& database);
// Closing it will change nothing in its files: for a damaged one.
void close_as_it_is(SQLite::Database& database);
bool says_damaged(const SQLite::Exception& error);

}  // namespace app
