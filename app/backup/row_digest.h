// What all rows of a database of records come to, whatever pages they stand in: two databases with the same records
// have the same.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <cstdint>
#include <map>
#include <string>
#include <vector>

namespace app {

// The tables that a backup has, in order. What is known of other servers is no record and has no place in one.
inline constexpr const char* kBackedUp[]{"piece", "inspection", "correction", "naming", "erasure", "picture"};

struct RowDigest {
  std::map<std::string, std::int64_t> counts;  // by table
  std::string sha256;
  bool operator==(const RowDigest&) const = default;
};

// Of the database as it stands, or of the caller's transaction. Throws SQLite::Exception.
RowDigest row_digest(SQLite::Database& database);

}  // namespace app
