#include "app/share/share.h"

#include <chrono>
#include <ctime>

#include "app/records/anonymise.h"
#include "app/records/migrations.h"
#include "app/records/piece_table.h"
#include "app/share/server.h"
#include "app/share/server_schema.h"
#include "app/share/share_lock.h"
#include "app/share/share_run.h"
#include "app/share/share_state.h"
#include "calib/files.h"

namespace app {
namespace {

// Names that others took out are taken out of this station's records as well, which makes rows to push.
constexpr int kRounds = 4;

std::string file_words(const ShareOptions& options, const SQLite::Exception& error) {
  const std::string file = options.log_file.string();
  if ((error.getErrorCode() & 0xFF) == 5)  // SQLITE_BUSY
    return file + ": another program holds this station's records; try again";
  return file + ": this station's records cannot be used (" + error.what() + ")";
}

template <typename Work>
auto with_file_words(const ShareOptions& options, Work work) {
  try {
    return work();
  } catch (const NewerSchema& error) {
    throw ShareError(ShareError::Kind::newer, options.log_file.string() + ": " + error.what());
  } catch (const SQLite::Exception& error) {
    throw ShareError(ShareError::Kind::other, file_words(options, error));
  }
}

// The names are out of the records; that their traces stay in the file for now must not stop the sharing.
void take_names_out(SQLite::Database& database, ShareOutcome& outcome) {
  try {
    apply_erasures(database);
  } catch (const calib::FileError& error) {
    outcome.notice = error.what();
  }
}

ShareOutcome share_locked(const ShareOptions& options) {
  ShareOutcome outcome;
  SQLite::Database database = open_to_write(options.log_file, options.busy_ms);
  Server server(options.settings.connection, options.settings.station, options.stopped);
  outcome.place = server.place();
  ShareState state(database, make_schema(server).id);
  if (!server_is_as_before(server, state)) {
    state.begin_anew();
    outcome.began_anew = true;
  }
  ShareRun run(options, database, server, state, outcome);
  for (int round = 0; round < kRounds; ++round) {
    run.pull();
    take_names_out(database, outcome);
    if (run.push() == 0) break;
  }
  state.set_shared(std::time(nullptr));
  return outcome;
}

ShareCheck check_here_and_there(const ShareOptions& options) {
  Server server(options.settings.connection, options.settings.station, options.stopped);
  ShareCheck out;
  out.place = server.place();
  out.user = server.user();
  out.version = server.version();
  out.tls = server.tls();
  out.remote = server.is_remote();
  out.certificate_checked = server.certificate_checked();
  const auto about = find_schema(server);
  out.made = about.has_value();
  out.may_make = out.made || may_make_schema(server);
  std::int64_t pulled = 0;
  std::error_code ignored;
  if (std::filesystem::exists(options.log_file, ignored)) {
    SQLite::Database database = open_to_read(options.log_file);
    if (database.execAndGet("PRAGMA user_version").getInt() == static_cast<int>(piece_schema().size())) {
      const ShareState state(database, about ? about->id : std::string());
      out.anew = !about || !server_is_as_before(server, state);
      const ShareState fresh(database, "");
      out.to_push = count_to_push(database, out.anew ? fresh : state);
      pulled = out.anew ? 0 : state.pulled();
    }
  } else {
    out.anew = true;
  }
  if (about) out.to_pull = count_to_pull(server, pulled);
  return out;
}

}  // namespace

std::size_t& ShareCounts::of(const std::string& table) {
  if (table == "inspection") return inspections;
  if (table == "correction") return corrections;
  if (table == "naming") return namings;
  if (table == "erasure") return erasures;
  return pieces;
}

ShareOutcome share(const ShareOptions& options) {
  const auto start = std::chrono::steady_clock::now();
  const ShareLock lock(options.log_file);
  ShareOutcome outcome = with_file_words(options, [&] { return share_locked(options); });
  outcome.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  return outcome;
}

ShareCheck check_share(const ShareOptions& options) {
  return with_file_words(options, [&] { return check_here_and_there(options); });
}

}  // namespace app
