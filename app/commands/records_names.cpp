#include <algorithm>
#include <ctime>
#include <ostream>

#include "app/commands/records.h"
#include "app/commands/records_log.h"
#include "app/crew/crew.h"
#include "app/in_quotes.h"
#include "app/names.h"
#include "app/records/anonymise.h"
#include "app/records/piece_rows.h"
#include "app/records/piece_table.h"
#include "app/records/record_id.h"
#include "app/records/table_rows.h"
#include "app/records/utc_time.h"
#include "calib/files.h"

namespace app {
namespace {

bool has_pieces(const std::filesystem::path& log, const std::string& name) {
  PieceRows rows(log);
  rows.refresh();
  return std::any_of(rows.all().begin(), rows.all().end(),
                     [&](const PieceRow& row) { return rows.name(row.operator_name) == name; });
}

}  // namespace

int run_records_naming(const std::filesystem::path& station_file, Naming naming, std::ostream& out, std::ostream& err) {
  return with_log(station_file, err, [&] {
    const std::filesystem::path log = log_that_is_there(station_file);
    Crew crew(crew_file(station_file));
    const Operator* listed = crew.find(naming.name);
    if (!has_pieces(log, naming.name)) {
      if (listed == nullptr) throw calib::FileError("nobody is called " + in_quotes(naming.name) + " in the records");
      naming.name = listed->name;  // typed with other capitals
    }
    const bool rename = naming.kind == Naming::Kind::rename;
    naming.new_name = tidy_name(naming.new_name);
    naming.id = new_record_id();
    naming.time_utc = utc_text(std::time(nullptr));
    SQLite::Database database = open_to_write(log, kCommandBusy_ms);
    // The crew's file refuses some names, and the records may be locked: both change, or neither.
    SQLite::Transaction both(database, SQLite::TransactionBehavior::IMMEDIATE);
    Insertion<Naming>(database, false).add(naming);
    if (rename && listed != nullptr) crew.rename(std::string(listed->name), naming.new_name);
    both.commit();
    out << in_quotes(naming.name)
        << (rename                              ? " is " + in_quotes(naming.new_name) + " in the records now"
            : naming.kind == Naming::Kind::hide ? " is left out of lists and comparisons now; the pieces still count"
                                                : " is listed again")
        << '\n';
    return 0;
  });
}

int run_records_anonymise(const std::filesystem::path& station_file, const std::string& name, bool sure,
                          std::ostream& out, std::ostream& err) {
  return with_log(station_file, err, [&] {
    if (!sure)
      throw calib::FileError("this takes " + in_quotes(name) +
                             " out of the records for good and cannot be undone; backups and what was written out "
                             "before keep the name. Add --for-good if it is meant");
    SQLite::Database database = open_to_write(log_that_is_there(station_file), kCommandBusy_ms);
    const Anonymised done = anonymise(database, name);
    Crew crew(crew_file(station_file));
    if (crew.find(name) != nullptr) crew.remove(name);
    out << done.records << " records are " << done.pseudonym << "'s now; " << done.pictures << " pictures deleted\n";
    if (done.mentions > 0) out << done.mentions << " notes still mention the name\n";
    return 0;
  });
}

}  // namespace app
