#include "app/commands/records_share.h"

#include <iostream>
#include <memory>

#include "app/format.h"
#include "app/in_quotes.h"
#include "app/places.h"
#include "app/records/piece_log.h"
#include "app/share/server.h"
#include "app/share/share.h"
#include "app/stop_signal.h"
#include "app/words/words.h"
#include "calib/files.h"

namespace app {
namespace {

namespace fs = std::filesystem;

constexpr int kNotShared = 1;

// Throws calib::FileError.
calib::ShareSettings settings_in(const fs::path& station_file, std::ostream& err) {
  const auto settings = calib::load_share(station_file);
  if (!settings)
    throw calib::FileError(station_file.string() +
                           ": there is no [share]; add one such as\n[share]\nconnection = \"host=shop.example "
                           "dbname=hoops sslmode=verify-full\"\nstation = \"North window\"");
  const std::string at = station_file.string() + ":" + std::to_string(settings->line) + ": 'connection': ";
  if (const std::string fault = fault_of_connection(settings->connection); !fault.empty())
    throw calib::FileError(at + fault);
  if (holds_password(settings->connection))
    err << "hoopgauge: " << at
        << "whoever reads this file has the password; write it into the password file (~/.pgpass with mode 600, or "
           "PGPASSFILE) and leave it out here\n";
  return *settings;
}

std::string counted(std::size_t count, const char* one, const char* many) {
  return std::to_string(count) + " " + (count == 1 ? one : many);
}

std::string words_of(const ShareCounts& counts) {
  if (counts.total() == 0) return "nothing";
  std::string out;
  const auto add = [&](std::size_t count, const char* one, const char* many) {
    if (count > 0) out += (out.empty() ? "" : ", ") + counted(count, one, many);
  };
  add(counts.pieces, "piece", "pieces");
  add(counts.inspections, "inspection", "inspections");
  add(counts.corrections, "correction", "corrections");
  add(counts.namings, "name change", "name changes");
  add(counts.erasures, "name taken out", "names taken out");
  return out;
}

std::string line_words(const ShareCheck& check) {
  if (!check.remote) return "through this computer's own socket";
  if (!check.tls)
    return "the line is NOT encrypted; write sslmode=verify-full into the connection where it leaves the shop's own "
           "cable";
  return "encrypted (" + *check.tls + "), " +
         (check.certificate_checked ? "the server's certificate is checked"
                                    : "but nobody checks whose server it is; write sslmode=verify-full");
}

int say_check(const ShareCheck& check, std::ostream& out) {
  out << "Reached: " << check.place << ", PostgreSQL " << check.version << ", as " << check.user << ".\n"
      << "Line: " << line_words(check) << ".\n";
  if (!check.made)
    out << (check.may_make ? "No station has shared there yet; the first share makes the schema hoopgauge.\n"
                           : "No station has shared there yet, and this user may not make the schema hoopgauge: GRANT "
                             "CREATE ON DATABASE is needed.\n");
  else if (check.anew)
    out << "This station has not shared with this server yet, or the server was brought back from a backup: all "
           "records are compared.\n";
  out << "Waiting to be pushed: " << words_of(check.to_push) << ".\n"
      << "Waiting to be pulled: "
      << (check.to_pull == 0 ? "nothing" : counted(static_cast<std::size_t>(check.to_pull), "row", "rows at most"))
      << ".\n";
  return check.may_make ? 0 : kNotShared;
}

int say_outcome(const ShareOutcome& done, const std::string& station, std::ostream& out) {
  if (done.began_anew) out << "New to this server, or the server was brought back from a backup: all was compared.\n";
  out << "Shared " << in_quotes(station) << " with " << done.place << ": pushed " << words_of(done.pushed)
      << "; pulled " << words_of(done.pulled) << format(" (%.1f s).\n", done.seconds);
  return 0;
}

}  // namespace

int run_records_share(const RecordsShareOptions& options, std::ostream& out, std::ostream& err) {
  const InEnglish english;
  try {
    const fs::path file = options.station_file ? *options.station_file : default_station_file();
    ShareOptions share_options;
    share_options.settings = settings_in(file, err);
    share_options.log_file = log_file(file);
    const StopSignal stop;
    share_options.stopped = [&] { return stop.received(); };
    if (options.check) return say_check(check_share(share_options), out);
    const ShareOutcome done = share(share_options);
    if (!done.notice.empty()) err << "hoopgauge: " << done.notice << '\n';
    return say_outcome(done, share_options.settings.station, out);
  } catch (const calib::FileError& error) {
    err << "hoopgauge: " << error.what() << '\n';
    return kUsage;
  } catch (const ShareError& error) {
    err << "hoopgauge: " << error.what()
        << ".\nNothing is lost: what was not shared waits, and the next share goes on "
           "there.\n";
    return kNotShared;
  }
}

void add_records_share(CLI::App& records, Chosen& chosen) {
  CLI::App* command = records.add_subcommand(
      "share", "Push this station's records to the shop's PostgreSQL server, and pull those of the other stations");
  const auto options = std::make_shared<RecordsShareOptions>();
  optional_value(*command, "--station", options->station_file, "The station file; its [share] names the server")
      ->option_text("FILE");
  command->add_flag("--check", options->check, "Only say whether it would work, and what waits");
  command->callback(
      [&chosen, options] { chosen = [options] { return run_records_share(*options, std::cout, std::cerr); }; });
}

}  // namespace app
