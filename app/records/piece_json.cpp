#include "app/records/piece_json.h"

#include <limits>
#include <nlohmann/json.hpp>

#include "app/records/correction_fields.h"
#include "app/records/inspection_fields.h"
#include "app/records/naming_fields.h"
#include "app/records/piece_fields.h"

namespace app {
namespace {

template <typename Record>
std::string line_of(const Record& record) {
  nlohmann::ordered_json out;
  each_field(record, [&](std::string_view name, const auto& value) { out[std::string(name)] = value; });
  // Names that are no UTF-8 must not cost the piece.
  return out.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace);
}

// Throws nlohmann::json::exception.
template <typename Record>
Record record_in(const nlohmann::json& in) {
  Record out;
  each_field(out, [&](std::string_view name, auto& value) {
    if (is_later_field(name) && !in.contains(name)) return;
    const auto& found = in.at(std::string(name));
    if constexpr (std::is_same_v<std::remove_cvref_t<decltype(value)>, double>)
      value = found.is_null() ? std::numeric_limits<double>::quiet_NaN() : found.template get<double>();
    else
      found.get_to(value);
  });
  return out;
}

// A later program's kind of naming is not taken for another.
std::optional<LogEntry> naming_in(const nlohmann::json& in) {
  if (!naming_kind_called(in.at("kind").get<std::string>())) return std::nullopt;
  return record_in<Naming>(in);
}

}  // namespace

std::string piece_json(const PieceRecord& record) { return line_of(record); }

std::optional<PieceRecord> piece_from_json(std::string_view line) {
  try {
    return record_in<PieceRecord>(nlohmann::json::parse(line));
  } catch (const nlohmann::json::exception&) {
    return std::nullopt;
  }
}

std::string entry_json(const LogEntry& entry) {
  return std::visit([](const auto& one) { return line_of(one); }, entry);
}

std::optional<LogEntry> entry_from_json(std::string_view line) {
  try {
    const auto in = nlohmann::json::parse(line);
    if (in.contains(kFieldOfCorrection)) return record_in<Correction>(in);
    if (in.contains(kNewNameOfNaming)) return naming_in(in);
    if (in.contains(kPieceOfInspection)) return record_in<Inspection>(in);
    return record_in<PieceRecord>(in);
  } catch (const nlohmann::json::exception&) {
    return std::nullopt;
  }
}

}  // namespace app
