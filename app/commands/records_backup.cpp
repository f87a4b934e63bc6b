#include <ostream>

#include "app/backup/backup.h"
#include "app/commands/own_name.h"
#include "app/commands/records.h"
#include "app/commands/records_log.h"

namespace app {

int run_records_backup(const std::filesystem::path& station_file, const std::filesystem::path& folder,
                       std::ostream& out, std::ostream& err) {
  return with_log(station_file, err, [&] {
    const BackedUp done = backup_to(folder, station_file, {.station = own_name(station_file)});
    out << done.pieces << " pieces and " << done.files << " files written to " << done.folder.string()
        << " and read back\n";
    return 0;
  });
}

int run_records_restore(const std::filesystem::path& station_file, const std::filesystem::path& folder,
                        std::ostream& out, std::ostream& err) {
  return with_log(station_file, err, [&] {
    const Restored done = restore_from(folder, station_file, own_name(station_file));
    out << done.pieces << " pieces and " << done.files << " files that were not here came from " << done.folder.string()
        << '\n';
    if (!done.notice.empty()) err << "hoopgauge: " << done.notice << '\n';
    return 0;
  });
}

}  // namespace app
