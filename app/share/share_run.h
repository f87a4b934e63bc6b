// One run of sharing: rows from the server, rows to it, and how far both came.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include "app/share/server.h"
#include "app/share/share.h"
#include "app/share/share_state.h"

namespace app {

// The server still has what this station last saw there; false as well where nothing was shared with it before.
bool server_is_as_before(Server& server, const ShareState& state);
// Rows behind `pulled`, about.
std::int64_t count_to_pull(Server& server, std::int64_t pulled);
ShareCounts count_to_push(SQLite::Database& database, const ShareState& state);

// All throw ShareError or SQLite::Exception; a batch is kept wholly or not at all, together with how far it goes.
class ShareRun {
 public:
  ShareRun(const ShareOptions& options, SQLite::Database& database, Server& server, ShareState& state,
           ShareOutcome& outcome)
      : options_(options), database_(database), server_(server), state_(state), outcome_(outcome) {}

  void pull();
  // How many rows were sent.
  std::size_t push();

 private:
  int pull_batch();
  std::size_t push_table(const std::string& table);
  void push_batch(const std::string& table, const struct Outgoing& rows);
  void tell(ShareProgress::Way way, std::size_t done, std::size_t of) const;

  const ShareOptions& options_;
  SQLite::Database& database_;
  Server& server_;
  ShareState& state_;
  ShareOutcome& outcome_;
  std::size_t pushed_ = 0, to_push_ = 0;
};

}  // namespace app
