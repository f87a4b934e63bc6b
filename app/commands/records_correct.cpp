#include <ctime>
#include <ostream>

#include "app/commands/records.h"
#include "app/commands/records_log.h"
#include "app/in_quotes.h"
#include "app/records/corrected.h"
#include "app/records/piece_table.h"
#include "app/records/record_id.h"
#include "app/records/utc_time.h"
#include "calib/files.h"

namespace app {
namespace {

// FIELD=VALUE, of a piece that is not named yet. Throws calib::FileError.
Correction correction_from(const std::string& change, const RecordsCorrectOptions& options) {
  const std::size_t equals = change.find('=');
  if (equals == std::string::npos)
    throw calib::FileError(in_quotes(change) + " does not do: write FIELD=VALUE, such as operator=Ada");
  Correction out;
  out.time_utc = utc_text(std::time(nullptr));
  out.operator_name = options.by;
  out.field = change.substr(0, equals);
  out.value = change.substr(equals + 1);
  out.note = options.note;
  if (const std::string fault = fault_of_correction(out); !fault.empty()) throw calib::FileError(fault);
  return out;
}

}  // namespace

int run_records_correct(const std::filesystem::path& station_file, const RecordsCorrectOptions& options,
                        std::ostream& out, std::ostream& err) {
  return with_log(station_file, err, [&] {
    SQLite::Database database = open_to_write(log_that_is_there(station_file), kCommandBusy_ms);
    std::vector<LogEntry> entries;
    for (const std::string& id : options.ids) {
      const std::string piece = piece_called(database, id).id;
      for (const std::string& change : options.changes) {
        Correction one = correction_from(change, options);
        one.id = new_record_id();
        one.piece = piece;
        entries.emplace_back(std::move(one));
      }
    }
    insert(database, entries);
    out << entries.size() << (entries.size() == 1 ? " correction" : " corrections") << " kept\n";
    return 0;
  });
}

}  // namespace app
