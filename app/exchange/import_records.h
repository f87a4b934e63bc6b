// Records taken in from files that export_records wrote, or that people made like them.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <cstddef>
#include <filesystem>
#include <vector>

#include "app/records/log_entry.h"

namespace app {

// All of a file. Throws calib::FileError that names file, line and mend; nothing of it is given then.
std::vector<LogEntry> entries_from_csv(const std::filesystem::path& file);
std::vector<LogEntry> entries_from_json_lines(const std::filesystem::path& file);

struct TakenIn {
  std::size_t fresh = 0, known = 0;  // known: their ids were there, and what is there stays
};
// All or none. Throws SQLite::Exception.
TakenIn take_in(SQLite::Database& database, const std::vector<LogEntry>& entries);

}  // namespace app
