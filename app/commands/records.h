// The command `hoopgauge records`: the log listed, shown, corrected, written out and taken in.
#pragma once

#include <cstddef>
#include <filesystem>
#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

#include "app/records/naming.h"
#include "app/records/piece_filter.h"

namespace app {

// All return 0; 1 where there is nothing of what was asked for; 2 when names, options or files cannot be used: then
// `err` says what to write instead and nothing is changed. The station may be running meanwhile.

struct RecordsListOptions {
  PieceFilter filter;
  std::size_t count = 20;  // the newest; 0: all
  bool json = false;       // one object a line instead of a table, as they count now
  bool no_names = false;
};
int run_records_list(const std::filesystem::path& station_file, const RecordsListOptions& options, std::ostream& out,
                     std::ostream& err);

// `id`: a piece's, or a beginning of it that no other piece has.
int run_records_show(const std::filesystem::path& station_file, const std::string& id, std::ostream& out,
                     std::ostream& err);

struct RecordsCorrectOptions {
  std::vector<std::string> ids;      // as above
  std::vector<std::string> changes;  // FIELD=VALUE, of kCorrectable
  std::string by, note;
};
int run_records_correct(const std::filesystem::path& station_file, const RecordsCorrectOptions& options,
                        std::ostream& out, std::ostream& err);

struct RecordsExportOptions {
  PieceFilter filter;
  std::filesystem::path file;
  bool json_lines = false;
  bool no_names = false;
  bool replace = false;  // a file that is there already
};
int run_records_export(const std::filesystem::path& station_file, const RecordsExportOptions& options,
                       std::ostream& out, std::ostream& err);
// A file that ends in .csv is a table, any other JSON lines.
int run_records_import(const std::filesystem::path& station_file, const std::filesystem::path& file, std::ostream& out,
                       std::ostream& err);
// What the table's columns mean.
int run_records_columns(std::ostream& out);

// Rename, hide or show an operator; its id and time are made here. A rename changes operators.toml as well.
int run_records_naming(const std::filesystem::path& station_file, Naming naming, std::ostream& out, std::ostream& err);
// `sure`: without it nothing is done, and `err` says what it would do.
int run_records_anonymise(const std::filesystem::path& station_file, const std::string& name, bool sure,
                          std::ostream& out, std::ostream& err);

// A folder such as a stick's; see app/backup/backup.h.
int run_records_backup(const std::filesystem::path& station_file, const std::filesystem::path& folder,
                       std::ostream& out, std::ostream& err);
int run_records_restore(const std::filesystem::path& station_file, const std::filesystem::path& folder,
                        std::ostream& out, std::ostream& err);

}  // namespace app
