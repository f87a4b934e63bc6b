#include "app/share/share_state.h"

#include <algorithm>

#include "app/share/shared_tables.h"

namespace app {

std::optional<std::int64_t> ShareState::value(const std::string& name) const {
  SQLite::Statement row(database_, "SELECT value FROM share_state WHERE server = ? AND name = ?");
  row.bind(1, server_);
  row.bind(2, name);
  if (!row.executeStep()) return std::nullopt;
  return row.getColumn(0).getInt64();
}

void ShareState::set(const std::string& name, std::int64_t value) {
  SQLite::Statement row(database_, "INSERT OR REPLACE INTO share_state (server, name, value) VALUES (?, ?, ?)");
  row.bind(1, server_);
  row.bind(2, name);
  row.bind(3, value);
  row.exec();
}

bool ShareState::known() const { return value("pulled").has_value(); }

void ShareState::begin_anew() {
  SQLite::Transaction all(database_, SQLite::TransactionBehavior::IMMEDIATE);
  database_.exec("DELETE FROM share_state WHERE server <> ''");  // '' is no server: what this file itself still owes
  set("pulled", 0);
  for (const char* table : kSharedTables) {
    set("pushed " + std::string(table), 0);
    set("whole " + std::string(table), last_seq(database_, table));
  }
  all.commit();
}

std::int64_t ShareState::pushed(const std::string& table) const { return value("pushed " + table).value_or(0); }
std::int64_t ShareState::whole(const std::string& table) const { return value("whole " + table).value_or(0); }
void ShareState::set_pushed(const std::string& table, std::int64_t seq) { set("pushed " + table, seq); }
std::int64_t ShareState::pulled() const { return value("pulled").value_or(0); }
void ShareState::set_pulled(std::int64_t arrived) { set("pulled", arrived); }

std::optional<ShareState::Seen> ShareState::seen() const {
  const auto arrived = value("seen"), mark = value("seen mark");
  if (!arrived || !mark) return std::nullopt;
  return Seen{*arrived, *mark};
}

void ShareState::set_seen(std::int64_t arrived, std::string_view id) {
  if (const auto before = seen(); before && before->arrived >= arrived) return;
  set("seen", arrived);
  set("seen mark", mark_of(id));
}

// FNV-1a: the same in every build.
std::int64_t ShareState::mark_of(std::string_view id) {
  std::uint64_t hash = 14695981039346656037u;
  for (const char c : id) hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211u;
  return static_cast<std::int64_t>(hash >> 1);
}

std::optional<std::int64_t> ShareState::shared_s() const { return value("shared"); }
void ShareState::set_shared(std::int64_t now_s) { set("shared", now_s); }

std::optional<std::int64_t> last_shared_s(SQLite::Database& database) {
  SQLite::Statement row(database, "SELECT max(value) FROM share_state WHERE name = 'shared'");
  if (!row.executeStep() || row.getColumn(0).isNull()) return std::nullopt;
  return row.getColumn(0).getInt64();
}

}  // namespace app
