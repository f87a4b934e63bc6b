#include <ostream>
#include <sstream>

#include "app/commands/records.h"
#include "app/commands/records_log.h"
#include "app/exchange/export_records.h"
#include "app/exchange/flat_piece.h"
#include "app/exchange/import_records.h"
#include "app/format.h"
#include "app/in_quotes.h"
#include "app/records/piece_log.h"
#include "app/records/piece_table.h"
#include "calib/atomic_write.h"
#include "calib/files.h"

namespace app {

int run_records_export(const std::filesystem::path& station_file, const RecordsExportOptions& options,
                       std::ostream& out, std::ostream& err) {
  return with_log(station_file, err, [&] {
    const std::filesystem::path log = log_that_is_there(station_file);
    if (!options.replace && std::filesystem::exists(options.file))
      throw calib::FileError(options.file.string() + " is there already; choose another name, or add --replace");
    const std::vector<std::int64_t> seqs = chosen_pieces(log, options.filter);
    if (seqs.empty()) {
      err << "hoopgauge: no such pieces were recorded; nothing was written\n";
      return kNothing;
    }
    SQLite::Database database = open_to_read(log);
    std::ostringstream text;
    options.json_lines ? export_json_lines(database, seqs, options.no_names, text)
                       : export_csv(database, seqs, options.no_names, text);
    calib::write_atomically(options.file, text.view());
    out << seqs.size() << " pieces written to " << options.file.string() << '\n';
    return 0;
  });
}

int run_records_import(const std::filesystem::path& station_file, const std::filesystem::path& file, std::ostream& out,
                       std::ostream& err) {
  return with_log(station_file, err, [&] {
    const std::vector<LogEntry> entries =
        file.extension() == ".csv" ? entries_from_csv(file) : entries_from_json_lines(file);
    SQLite::Database database = open_to_write(log_file(station_file), kCommandBusy_ms);
    const TakenIn taken = take_in(database, entries);
    out << taken.fresh << " records taken in, " << taken.known << " were there already\n";
    return 0;
  });
}

int run_records_columns(std::ostream& out) {
  for (const ColumnMeaning& one : column_meanings()) out << format("%-24s %-10s %s\n", one.name, one.unit, one.meaning);
  return 0;
}

}  // namespace app
