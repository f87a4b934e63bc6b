// The database's schema, step by step. PRAGMA user_version says how many steps a database has behind it.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <span>
#include <stdexcept>

namespace app {

// The database was written by a newer program; it is left as it is.
class NewerSchema : public std::runtime_error {
 public:
  NewerSchema() : std::runtime_error("the database was written by a newer version of the program") {}
};

// Step n makes version n + 1 of version n. A step that was ever released is never changed; new ones come behind it.
std::span<const char* const> piece_schema();

// Takes the steps that are missing, each wholly or not at all. Throws NewerSchema or SQLite::Exception.
void migrate(SQLite::Database& database, std::span<const char* const> steps);

}  // namespace app
