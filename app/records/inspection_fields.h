// All that is kept of an inspection, field by field, as app/records/piece_fields.h does it for pieces.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <type_traits>

#include "app/records/inspection.h"

namespace app {

// As they stand on disk. Nothing for a name that this program does not know.
std::string_view found_by_name(FoundBy found_by);
std::optional<FoundBy> found_by_called(std::string_view name);
std::string_view outcome_name(Outcome outcome);
std::optional<Outcome> outcome_called(std::string_view name);

inline constexpr std::string_view kPieceOfInspection = "piece";  // which no piece's own line has

template <typename Record, typename Visit>
requires std::is_same_v<std::remove_const_t<Record>, Inspection>
void each_field(Record& record, Visit&& visit) {
  visit("id", record.id);
  visit(kPieceOfInspection, record.piece);
  visit("time_utc", record.time_utc);
  visit("operator", record.operator_name);
  std::string found_by(found_by_name(record.found_by)), outcome(outcome_name(record.outcome));
  visit("found_by", found_by);
  visit("outcome", outcome);
  visit("offset_x_mm", record.offset_x_mm);
  visit("offset_y_mm", record.offset_y_mm);
  visit("rotation_deg", record.rotation_deg);
  visit("u_offset_mm", record.u_offset_mm);
  visit("u_rotation_deg", record.u_rotation_deg);
  visit("note", record.note);
  if constexpr (!std::is_const_v<Record>) {
    record.found_by = found_by_called(found_by).value_or(FoundBy::eye);
    record.outcome = outcome_called(outcome).value_or(Outcome::mend);
  }
}

}  // namespace app
