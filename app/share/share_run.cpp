#include "app/share/share_run.h"

#include <algorithm>

#include "app/records/migrations.h"
#include "app/share/shared_tables.h"

namespace app {
namespace {

// What newer programs add to a record comes with a further step of the schema.
int schema_here() { return static_cast<int>(piece_schema().size()); }

[[noreturn]] void refuse_newer(const Server& server) {
  throw ShareError(ShareError::Kind::newer,
                   "on the shop's server (" + server.place() +
                       ") lie records of a newer version of the program, which this one would cut short: bring this "
                       "station up to date. What came before them is here, nothing is lost");
}

}  // namespace

bool server_is_as_before(Server& server, const ShareState& state) {
  if (!state.known()) return false;
  const auto seen = state.seen();
  if (!seen) return true;  // it was empty, and so was this station
  const ServerRows rows =
      server.ask("SELECT id FROM hoopgauge.entry WHERE arrived = $1::bigint", {std::to_string(seen->arrived)});
  return rows.count() == 1 && ShareState::mark_of(rows.text(0, 0)) == seen->mark;
}

std::int64_t count_to_pull(Server& server, std::int64_t pulled) {
  return server
      .ask("SELECT greatest(0, coalesce(max(arrived), 0) - $1::bigint) FROM hoopgauge.entry", {std::to_string(pulled)})
      .number(0, 0);
}

ShareCounts count_to_push(SQLite::Database& database, const ShareState& state) {
  ShareCounts out;
  for (const char* table : kSharedTables)
    out.of(table) = static_cast<std::size_t>(count_outgoing(database, table, state.pushed(table), state.whole(table)));
  return out;
}

void ShareRun::tell(ShareProgress::Way way, std::size_t done, std::size_t of) const {
  if (options_.stopped && options_.stopped()) throw ShareError(ShareError::Kind::stopped, "sharing was stopped");
  if (options_.progress) options_.progress({way, done, std::max(done, of)});
}

void ShareRun::pull() {
  const auto all = static_cast<std::size_t>(count_to_pull(server_, state_.pulled()));
  std::size_t done = 0;
  while (const int rows = pull_batch()) {
    done += static_cast<std::size_t>(rows);
    tell(ShareProgress::Way::pull, done, all);
    if (rows < options_.batch_rows) break;
  }
}

int ShareRun::pull_batch() {
  const ServerRows rows = server_.ask(
      "SELECT arrived, id, kind, schema, body FROM hoopgauge.entry WHERE arrived > $1::bigint ORDER BY arrived "
      "LIMIT $2::integer",
      {std::to_string(state_.pulled()), std::to_string(options_.batch_rows)});
  if (rows.count() == 0) return 0;
  ShareCounts added;
  SQLite::Transaction all(database_, SQLite::TransactionBehavior::IMMEDIATE);
  {
    Incoming incoming(database_);
    for (int i = 0; i < rows.count(); ++i) {
      const std::string kind = rows.text(i, 2);
      const auto kept =
          rows.number(i, 3) > schema_here() ? Incoming::Kept::unknown : incoming.add(kind, rows.text(i, 4));
      if (kept == Incoming::Kept::unknown) refuse_newer(server_);
      if (kept == Incoming::Kept::added) ++added.of(kind);
    }
  }
  const int last = rows.count() - 1;
  state_.set_pulled(rows.number(last, 0));
  state_.set_seen(rows.number(last, 0), rows.text(last, 1));
  all.commit();
  for (const char* table : kSharedTables) outcome_.pulled.of(table) += added.of(table);
  return rows.count();
}

std::size_t ShareRun::push() {
  to_push_ = count_to_push(database_, state_).total();
  pushed_ = 0;
  for (const char* table : kSharedTables) push_table(table);
  return pushed_;
}

std::size_t ShareRun::push_table(const std::string& table) {
  while (true) {
    const std::int64_t after = state_.pushed(table);
    const Outgoing rows = next_outgoing(database_, table, after, state_.whole(table), options_.batch_rows);
    if (!rows.ids.empty()) {
      push_batch(table, rows);
      pushed_ += rows.ids.size();
      tell(ShareProgress::Way::push, pushed_, to_push_);
    } else if (rows.last_seq > after) {
      state_.set_pushed(table, rows.last_seq);
    }
    if (!rows.more) return pushed_;
  }
}

void ShareRun::push_batch(const std::string& table, const Outgoing& rows) {
  const std::vector<std::string> kinds(rows.ids.size(), table), schemas(rows.ids.size(), std::to_string(schema_here()));
  const ServerRows done = server_.ask(
      "SELECT before, after, added, last, last_id FROM hoopgauge.push($1::text[], $2::text[], "
      "$3::integer[], $4::text[])",
      {array_text(rows.ids), array_text(kinds), array_text(schemas), array_text(rows.bodies)});
  SQLite::Transaction all(database_, SQLite::TransactionBehavior::IMMEDIATE);
  state_.set_pushed(table, rows.last_seq);
  // Nobody's rows are between: these need not come back.
  if (state_.pulled() >= done.number(0, 0)) state_.set_pulled(done.number(0, 1));
  if (!done.null(0, 3)) state_.set_seen(done.number(0, 3), done.text(0, 4));
  all.commit();
  outcome_.pushed.of(table) += static_cast<std::size_t>(done.number(0, 2));
}

}  // namespace app
