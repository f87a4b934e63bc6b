// How far this station has shared with a server; kept in its own database, so that a copy of that brings its own along.
// All functions throw SQLite::Exception.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace app {

class ShareState {
 public:
  ShareState(SQLite::Database& database, std::string server_id) : database_(database), server_(std::move(server_id)) {}

  // Something was shared with this server before.
  bool known() const;
  // From the first row on, in both directions, and what came from other stations as well: with a server that is new or
  // was brought back from a backup. Other servers are forgotten.
  void begin_anew();

  // The last `seq` of a table that the server has, and up to which pulled rows are pushed as well.
  std::int64_t pushed(const std::string& table) const;
  std::int64_t whole(const std::string& table) const;
  void set_pushed(const std::string& table, std::int64_t seq);
  // The last `arrived` that this station has.
  std::int64_t pulled() const;
  void set_pulled(std::int64_t arrived);

  // The last row that is known to be on the server, whoever brought it: where it is missing, or another stands in its
  // place, the server lost rows.
  struct Seen {
    std::int64_t arrived = 0, mark = 0;
  };
  std::optional<Seen> seen() const;
  void set_seen(std::int64_t arrived, std::string_view id);
  static std::int64_t mark_of(std::string_view id);

  // When sharing last came to its end, seconds since 1970.
  std::optional<std::int64_t> shared_s() const;
  void set_shared(std::int64_t now_s);

 private:
  std::optional<std::int64_t> value(const std::string& name) const;
  void set(const std::string& name, std::int64_t value);

  SQLite::Database& database_;
  std::string server_;
};

// Of any server.
std::optional<std::int64_t> last_shared_s(SQLite::Database& database);

}  // namespace app
