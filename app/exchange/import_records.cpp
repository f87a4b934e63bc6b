#include "app/exchange/import_records.h"

#include <cerrno>
#include <cstring>
#include <fstream>
#include <limits>
#include <map>
#include <nlohmann/json.hpp>
#include <string>

#include "app/exchange/csv.h"
#include "app/exchange/flat_piece.h"
#include "app/in_quotes.h"
#include "app/records/field_text.h"
#include "app/records/piece_json.h"
#include "app/records/piece_table.h"
#include "app/records/utc_time.h"
#include "calib/files.h"

namespace app {
namespace {

constexpr std::size_t kMostLine = 1 << 20;
constexpr std::size_t kMostId = 100;

std::ifstream opened(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  if (!in || std::filesystem::is_directory(file))
    throw calib::FileError(file.string() + ": cannot be read (" +
                           std::strerror(std::filesystem::is_directory(file) ? EISDIR : errno) + ")");
  return in;
}

// What a record must have whatever it is; empty: all is well.
std::string fault_of(const std::string& id, const std::string& time_utc, std::string_view prefix = {}) {
  const std::string start(prefix);
  if (id.empty() || id.size() > kMostId)
    return start + "id must be a text of 1 to " + std::to_string(kMostId) + " bytes";
  if (!seconds_of_utc(time_utc) || time_utc.back() != 'Z')
    return start + "time_utc must be such as 2026-01-31T12:00:00Z, not " + in_quotes(time_utc);
  return {};
}

std::string fault_of(const PieceRecord& one) {
  if (one.piece.tries < 0 || one.piece.readings < 0 || one.garment_number < 0)
    return "tries, readings and garment_number are 0 or more";
  if (one.tolerance_mm < 0.0 || one.tolerance_deg < 0.0) return "tolerances are 0 or more";
  return fault_of(one.id, one.time_utc);
}
std::string fault_of(const Inspection& one) {
  if (one.piece.empty()) return "an inspection names its piece";
  return fault_of(one.id, one.time_utc);
}
std::string fault_of(const Correction& one) {
  if (one.piece.empty()) return "a correction names its piece";
  return fault_of(one.id, one.time_utc);
}
std::string fault_of(const Naming& one) { return fault_of(one.id, one.time_utc); }

// Of a column that is not there nothing is known: an offset of 0 would lie on the mark.
FlatPiece nothing_measured() {
  constexpr double kNotKnown = std::numeric_limits<double>::quiet_NaN();
  FlatPiece out;
  vision::Reading& reading = out.piece.piece.reading;
  reading.offset_x_mm = reading.offset_y_mm = reading.rotation_deg = kNotKnown;
  reading.u_offset_mm = reading.u_rotation_deg = kNotKnown;
  out.piece.tolerance_mm = out.piece.tolerance_deg = kNotKnown;
  return out;
}

// The columns of one file.
class Columns {
 public:
  Columns(const CsvReader& reader, const std::vector<std::string>& header) : reader_(reader) {
    if (header.size() == 1 && header[0].find(';') != std::string::npos)
      reader.refuse("the columns are separated by semicolons; save the file with commas");
    for (std::size_t i = 0; i < header.size(); ++i) {
      if (!is_known(header[i]))
        reader.refuse("there is no column " + in_quotes(header[i]) + "; hoopgauge records columns lists them");
      if (!places_.emplace(header[i], i).second) reader.refuse("column " + in_quotes(header[i]) + " stands twice");
    }
    for (const char* needed : {"id", "time_utc"})
      if (!places_.contains(needed)) reader.refuse(std::string("column '") + needed + "' is missing");
    count_ = header.size();
  }

  FlatPiece piece_in(const std::vector<std::string>& record) const {
    if (record.size() != count_)
      reader_.refuse("this record has " + std::to_string(record.size()) + " fields, the header " +
                     std::to_string(count_));
    FlatPiece out = nothing_measured();
    if (const std::string* id = cell(record, std::string(kInspectionPrefix) + "id"); id && !id->empty())
      out.inspection.emplace();
    check_words(record, out.inspection.has_value());
    each_column(out, [&](std::string_view name, auto& value) { read(record, std::string(name), value, out); });
    return out;
  }

 private:
  static bool is_known(const std::string& name) {
    for (const ColumnMeaning& one : column_meanings())
      if (one.name == name) return true;
    return false;
  }
  const std::string* cell(const std::vector<std::string>& record, const std::string& name) const {
    const auto found = places_.find(name);
    return found == places_.end() ? nullptr : &record[found->second];
  }
  template <typename Value>
  void read(const std::vector<std::string>& record, const std::string& name, Value& value, const FlatPiece& of) const {
    const std::string* text = cell(record, name);
    if (!text) return;
    if (!of.inspection && name.starts_with(kInspectionPrefix)) {
      if (!text->empty()) reader_.refuse(in_quotes(name) + " stands without an inspection_id");
      return;
    }
    if (text->empty() && !std::is_same_v<Value, std::string> && !std::is_same_v<Value, double>) return;
    const auto found = value_from_text<Value>(*text);
    if (!found)
      reader_.refuse(in_quotes(name) + " must be " +
                     (std::is_same_v<Value, bool>  ? "0 or 1"
                      : std::is_same_v<Value, int> ? "a whole number"
                                                   : "a number with a point") +
                     ", not " + in_quotes(*text));
    value = *found;
  }
  // Those that only some words do for.
  void check_words(const std::vector<std::string>& record, bool inspected) const {
    const auto check = [&](const std::string& name, const auto& called, const char* words) {
      const std::string* text = cell(record, name);
      if (text && !text->empty() && !called(*text))
        reader_.refuse(in_quotes(name) + " must be one of " + words + ", not " + in_quotes(*text));
    };
    check("notice", notice_called, "those of records columns, or none");
    if (!inspected) return;
    check("inspection_found_by", found_by_called, "sticker, basting, ruler, eye");
    check("inspection_outcome", outcome_called, "good, mend, reject");
  }

  const CsvReader& reader_;
  std::map<std::string, std::size_t> places_;
  std::size_t count_ = 0;
};

// The same every time the file is taken in.
Correction set_aside_of(const PieceRecord& piece) {
  Correction out;
  out.id = piece.id + "/set_aside";
  out.piece = piece.id;
  out.time_utc = piece.time_utc;
  out.field = kSetAside;
  out.value = "1";
  return out;
}

void add(const FlatPiece& flat, const CsvReader& reader, std::vector<LogEntry>& out) {
  if (const std::string fault = fault_of(flat.piece); !fault.empty()) reader.refuse(fault);
  out.emplace_back(flat.piece);
  if (flat.set_aside) out.emplace_back(set_aside_of(flat.piece));
  if (!flat.inspection) return;
  Inspection inspection = *flat.inspection;
  inspection.piece = flat.piece.id;
  if (const std::string fault = fault_of(inspection.id, inspection.time_utc, kInspectionPrefix); !fault.empty())
    reader.refuse(fault);
  out.emplace_back(std::move(inspection));
}

}  // namespace

std::vector<LogEntry> entries_from_csv(const std::filesystem::path& file) {
  std::ifstream in = opened(file);
  CsvReader reader(in, file.string());
  const auto header = reader.next();
  if (!header) reader.refuse("the file is empty; its first line names the columns");
  const Columns columns(reader, *header);
  std::vector<LogEntry> out;
  while (const auto record = reader.next()) add(columns.piece_in(*record), reader, out);
  return out;
}

std::vector<LogEntry> entries_from_json_lines(const std::filesystem::path& file) {
  std::ifstream in = opened(file);
  std::vector<LogEntry> out;
  std::size_t number = 0;
  for (std::string line; std::getline(in, line);) {
    ++number;
    if (line.find_first_not_of(" \t\r") == std::string::npos) continue;
    const auto refuse = [&](const std::string& what) {
      throw calib::FileError(file.string() + ":" + std::to_string(number) + ": " + what);
    };
    if (line.size() > kMostLine) refuse("this line is longer than a megabyte");
    auto entry = entry_from_json(line);
    if (!entry)
      refuse("this is no record: a line is one JSON object with all of its keys, as records export writes it");
    if (const std::string fault = std::visit([](const auto& one) { return fault_of(one); }, *entry); !fault.empty())
      refuse(fault);
    out.push_back(std::move(*entry));
  }
  return out;
}

TakenIn take_in(SQLite::Database& database, const std::vector<LogEntry>& entries) {
  const int before = database.getTotalChanges();
  insert(database, entries);
  const auto fresh = static_cast<std::size_t>(database.getTotalChanges() - before);
  return {fresh, entries.size() - fresh};
}

}  // namespace app
