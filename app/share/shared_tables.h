// What is shared of the log's tables: rows to send, and rows that came. All throw SQLite::Exception.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <array>
#include <cstdint>
#include <memory>
#include <string>
#include <vector>

namespace app {

// In the order of their sending: what is said of a record goes behind it.
inline constexpr std::array<const char*, 5> kSharedTables{"piece", "inspection", "correction", "naming", "erasure"};

std::int64_t last_seq(SQLite::Database& database, const std::string& table);

// Rows of one table, as lines of JSON.
struct Outgoing {
  std::vector<std::string> ids, bodies;
  std::int64_t last_seq = 0;  // all up to here are looked at
  bool more = false;
};

// The next rows behind `after`, at most so many: this station's own, and those from others up to `whole`.
Outgoing next_outgoing(SQLite::Database& database, const std::string& table, std::int64_t after, std::int64_t whole,
                       int most);
std::int64_t count_outgoing(SQLite::Database& database, const std::string& table, std::int64_t after,
                            std::int64_t whole);

// Keeps rows that came from the server; those that are there stay as they are.
class Incoming {
 public:
  explicit Incoming(SQLite::Database& database);
  ~Incoming();
  enum class Kept {
    added,
    there,    // already
    unknown,  // of a kind, or with words in it, that this program does not know: a part of it would be lost
  };
  Kept add(const std::string& kind, const std::string& body);

 private:
  struct Tables;
  std::unique_ptr<Tables> tables_;
};

}  // namespace app
