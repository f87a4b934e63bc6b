#include "app/records/corrected.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <type_traits>

#include "app/in_quotes.h"
#include "app/records/field_text.h"
#include "app/records/table_rows.h"
#include "calib/files.h"

namespace app {
namespace {

constexpr std::size_t kMostText = 200;
constexpr std::size_t kLeastOfId = 4;
constexpr std::size_t kNamed = 3;  // of several ids that begin alike

template <typename Value>
std::string fault_of_value(const std::string& field, const std::string& text, const Value&) {
  if constexpr (std::is_same_v<Value, std::string>) {
    if (text.size() > kMostText) return in_quotes(field) + " is at most " + std::to_string(kMostText) + " bytes long";
  } else if constexpr (std::is_same_v<Value, int>) {
    const auto number = value_from_text<int>(text);
    if (!number || *number < 0) return in_quotes(field) + " must be a whole number from 0, not " + in_quotes(text);
  } else if constexpr (std::is_same_v<Value, double>) {
    if (text.empty()) return {};  // not known
    const auto number = value_from_text<double>(text);
    const bool tolerance = field.starts_with("tolerance");
    if (!number || std::abs(*number) > 1000.0 || (tolerance && !(*number > 0.0)))
      return in_quotes(field) + " must be a number with a point" + (tolerance ? " above 0" : "") + ", not " +
             in_quotes(text);
  }
  return {};
}

bool is_correctable(const std::string& field) {
  return std::find(std::begin(kCorrectable), std::end(kCorrectable), field) != std::end(kCorrectable);
}

std::string all_fields() {
  std::string out;
  for (const std::string_view one : kCorrectable) out.append(out.empty() ? "" : ", ").append(one);
  return out;
}

}  // namespace

std::string fault_of_correction(const Correction& correction) {
  if (!is_correctable(correction.field))
    return in_quotes(correction.field) + " cannot be corrected; these can: " + all_fields();
  if (correction.field == kSetAside)
    return correction.value == "0" || correction.value == "1" ? "" : "set_aside must be 0 or 1";
  std::string fault;
  const PieceRecord any;
  each_field(any, [&](std::string_view name, const auto& value) {
    if (name == correction.field) fault = fault_of_value(correction.field, correction.value, value);
  });
  return fault;
}

bool correct(PieceRecord& piece, const std::vector<Correction>& corrections, const NameHistory& names) {
  bool set_aside = false;
  piece.operator_name = names.now(piece.operator_name, piece.time_utc);
  for (const Correction& one : corrections) {
    if (!fault_of_correction(one).empty()) continue;
    if (one.field == kSetAside) set_aside = one.value == "1";
    const std::string value = one.field == "operator" ? names.now(one.value, one.time_utc) : one.value;
    each_field(piece, [&](std::string_view name, auto& field) {
      if (name == one.field) field = value_from_text<std::remove_cvref_t<decltype(field)>>(value).value_or(field);
    });
  }
  return set_aside;
}

std::vector<Correction> corrections_of(SQLite::Database& database, const std::string& piece_id) {
  SQLite::Statement rows = selection<Correction>(database, "WHERE piece = ? ORDER BY time_utc, id");
  rows.bind(1, piece_id);
  return records_in<Correction>(rows);
}

PieceRecord piece_called(SQLite::Database& database, const std::string& id) {
  SQLite::Statement exact = selection<PieceRecord>(database, "WHERE id = ?");
  exact.bind(1, id);
  if (auto found = first_in<PieceRecord>(exact)) return *found;
  if (id.size() < kLeastOfId) throw calib::FileError("write at least 4 characters of the piece's id");
  SQLite::Statement rows = selection<PieceRecord>(
      database, "WHERE id >= ?1 AND id < ?1 || char(0x10FFFF) ORDER BY id LIMIT " + std::to_string(kNamed));
  rows.bind(1, id);
  const std::vector<PieceRecord> found = records_in<PieceRecord>(rows);
  if (found.empty())
    throw calib::FileError("there is no piece " + in_quotes(id) + "; hoopgauge records list shows their ids");
  if (found.size() == 1) return found[0];
  std::string ids;
  for (const PieceRecord& one : found) ids += (ids.empty() ? "" : ", ") + one.id;
  throw calib::FileError("several pieces begin with " + in_quotes(id) + ", such as " + ids + "; write more of it");
}

}  // namespace app
