#include "app/exchange/export_records.h"

#include <string>

#include "app/exchange/csv.h"
#include "app/exchange/flat_reader.h"
#include "app/exchange/name_veil.h"
#include "app/records/field_text.h"
#include "app/records/name_history.h"
#include "app/records/piece_json.h"
#include "app/records/piece_table.h"
#include "app/records/table_rows.h"

namespace app {
namespace {

std::vector<std::string> cells(const FlatPiece& flat) {
  std::vector<std::string> out;
  each_column(flat, [&](std::string_view name, const auto& value) {
    const bool empty = !flat.inspection && name.starts_with(kInspectionPrefix);
    out.push_back(empty ? std::string() : field_text(value));
  });
  return out;
}

// The same person is the same one under an earlier name.
class JsonLines {
 public:
  JsonLines(SQLite::Database& database, bool no_names, std::ostream& out)
      : names_(no_names), history_(namings_of(database)), out_(out) {}

  void write(PieceRecord one) {
    one.operator_name = veiled(one.operator_name, one.time_utc);
    put(std::move(one));
  }
  void write(Inspection one) {
    one.operator_name = veiled(one.operator_name, one.time_utc);
    if (names_.drawn()) one.note.clear();
    put(std::move(one));
  }
  void write(Correction one) {
    one.operator_name = veiled(one.operator_name, one.time_utc);
    if (one.field == "operator") one.value = veiled(one.value, one.time_utc);
    if (names_.drawn()) one.note.clear();
    put(std::move(one));
  }
  void write(Naming one) {
    if (!names_.drawn()) put(std::move(one));
  }

 private:
  std::string veiled(const std::string& name, const std::string& time_utc) {
    return names_.drawn() ? names_.of(history_.now(name, time_utc)) : name;
  }
  void put(LogEntry entry) { out_ << entry_json(entry) << '\n'; }

  NameVeil names_;
  NameHistory history_;
  std::ostream& out_;
};

// What is said of each of these pieces in another table, in the order of its keeping.
template <typename Record>
void write_of_pieces(SQLite::Database& database, const std::vector<std::int64_t>& seqs, JsonLines& lines) {
  SQLite::Statement rows =
      selection<Record>(database, "WHERE piece = (SELECT id FROM piece WHERE seq = ?) ORDER BY seq");
  for (const std::int64_t seq : seqs) {
    rows.bind(1, seq);
    while (rows.executeStep()) lines.write(record_in<Record>(rows));
    rows.reset();
  }
}

}  // namespace

void export_csv(SQLite::Database& database, const std::vector<std::int64_t>& seqs, bool no_names, std::ostream& out) {
  SQLite::Transaction as_of_now(database);
  std::vector<std::string> header;
  for (const ColumnMeaning& one : column_meanings()) header.push_back(one.name);
  write_csv_line(out, header);
  NameVeil names(no_names);
  each_flat_piece(database, seqs, [&](FlatPiece flat) {
    veil(flat, names);
    write_csv_line(out, cells(flat));
  });
}

void export_json_lines(SQLite::Database& database, const std::vector<std::int64_t>& seqs, bool no_names,
                       std::ostream& out) {
  SQLite::Transaction as_of_now(database);
  JsonLines lines(database, no_names, out);
  SQLite::Statement pieces = selection<PieceRecord>(database, "WHERE seq = ?");
  for (const std::int64_t seq : seqs) {
    pieces.bind(1, seq);
    while (pieces.executeStep()) lines.write(record_in<PieceRecord>(pieces));
    pieces.reset();
  }
  write_of_pieces<Inspection>(database, seqs, lines);
  write_of_pieces<Correction>(database, seqs, lines);
  SQLite::Statement namings = selection<Naming>(database, "ORDER BY seq");
  while (namings.executeStep()) lines.write(record_in<Naming>(namings));
}

}  // namespace app
