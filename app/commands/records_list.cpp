#include <algorithm>
#include <array>
#include <cmath>
#include <ctime>
#include <functional>
#include <nlohmann/json.hpp>
#include <ostream>

#include "app/commands/records.h"
#include "app/commands/records_log.h"
#include "app/exchange/flat_reader.h"
#include "app/exchange/name_veil.h"
#include "app/format.h"
#include "app/records/corrected.h"
#include "app/records/field_text.h"
#include "app/records/inspection_fields.h"
#include "app/records/piece_table.h"
#include "app/records/table_rows.h"
#include "app/records/utc_time.h"

namespace app {
namespace {

constexpr std::size_t kIdShown = 13;  // of an id that begins with its time: milliseconds

std::string local_text(const std::string& time_utc) {
  const auto time = static_cast<std::time_t>(seconds_of_utc(time_utc).value_or(0));
  std::tm parts{};
  localtime_r(&time, &parts);
  std::array<char, 32> text{};
  std::strftime(text.data(), text.size(), "%Y-%m-%d %H:%M", &parts);
  return text.data();
}

bool within(const PieceRecord& one) {
  const vision::Reading& reading = one.piece.reading;
  return std::hypot(reading.offset_x_mm, reading.offset_y_mm) <= one.tolerance_mm &&
         std::abs(reading.rotation_deg) <= one.tolerance_deg;
}

std::string verdict(const FlatPiece& flat) {
  if (flat.set_aside) return "set aside";
  const std::string hooped = within(flat.piece) ? "within" : "outside";
  return flat.inspection ? hooped + ", " + std::string(outcome_name(flat.inspection->outcome)) : hooped;
}

void write_line(const FlatPiece& flat, std::ostream& out) {
  const PieceRecord& one = flat.piece;
  const vision::Reading& reading = one.piece.reading;
  out << format("%-13s  %s  %-16s %-20s %-14s %+6.2f %+6.2f mm %+6.2f deg  %s\n", one.id.substr(0, kIdShown),
                local_text(one.time_utc), one.operator_name.empty() ? "-" : one.operator_name,
                one.job.empty() ? "-" : one.job, one.hoop.empty() ? "-" : one.hoop, reading.offset_x_mm,
                reading.offset_y_mm, reading.rotation_deg, verdict(flat));
}

void write_json(const FlatPiece& flat, std::ostream& out) {
  nlohmann::ordered_json line;
  each_column(flat, [&](std::string_view name, const auto& value) {
    if (!flat.inspection && name.starts_with(kInspectionPrefix))
      line[std::string(name)] = nullptr;
    else
      line[std::string(name)] = value;  // NaN is written as null
  });
  out << line.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace) << '\n';
}

// Every field of a record that says something.
template <typename Record>
void write_fields(const Record& record, std::ostream& out) {
  each_field(record, [&](std::string_view name, const auto& value) {
    const std::string text = field_text(value);
    if (!text.empty()) out << format("  %-18s %s\n", std::string(name), text);
  });
}

template <typename Record>
void write_rows_of(SQLite::Database& database, const std::string& piece, const char* heading, std::ostream& out) {
  SQLite::Statement rows = selection<Record>(database, "WHERE piece = ? ORDER BY time_utc, id");
  rows.bind(1, piece);
  for (const Record& one : records_in<Record>(rows)) {
    out << heading << '\n';
    write_fields(one, out);
  }
}

}  // namespace

int run_records_list(const std::filesystem::path& station_file, const RecordsListOptions& options, std::ostream& out,
                     std::ostream& err) {
  return with_log(station_file, err, [&] {
    const std::filesystem::path file = log_that_is_there(station_file);
    std::vector<std::int64_t> seqs = chosen_pieces(file, options.filter);
    if (options.count > 0 && seqs.size() > options.count)
      seqs.erase(seqs.begin(), seqs.end() - static_cast<std::ptrdiff_t>(options.count));
    NameVeil names(options.no_names);
    SQLite::Database database = open_to_read(file);
    const NameHistory history(namings_of(database));
    // A list for people: hidden ones are named only to whoever asks for them by name. Without names they are told apart
    // by their numbers, as all are.
    const bool leaves_out = !options.json && !options.no_names && !options.filter.operator_name;
    each_flat_piece(database, seqs, [&](FlatPiece flat) {
      if (leaves_out && history.hidden(flat.piece.operator_name)) flat.piece.operator_name = "(hidden)";
      veil(flat, names);
      options.json ? write_json(flat, out) : write_line(flat, out);
    });
    if (seqs.empty()) err << "hoopgauge: no such pieces were recorded\n";
    return seqs.empty() ? kNothing : 0;
  });
}

int run_records_show(const std::filesystem::path& station_file, const std::string& id, std::ostream& out,
                     std::ostream& err) {
  return with_log(station_file, err, [&] {
    SQLite::Database database = open_to_read(log_that_is_there(station_file));
    const PieceRecord kept = piece_called(database, id);
    out << "As it was kept\n";
    write_fields(kept, out);
    write_rows_of<Correction>(database, kept.id, "Corrected", out);
    write_rows_of<Inspection>(database, kept.id, "Inspected", out);
    return 0;
  });
}

}  // namespace app
