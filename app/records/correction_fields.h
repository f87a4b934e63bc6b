// All that is kept of a correction, field by field, as app/records/piece_fields.h does it for pieces.
#pragma once

#include <string_view>
#include <type_traits>

#include "app/records/correction.h"

namespace app {

inline constexpr std::string_view kFieldOfCorrection = "field";  // which no other record's own line has

template <typename Record, typename Visit>
requires std::is_same_v<std::remove_const_t<Record>, Correction>
void each_field(Record& record, Visit&& visit) {
  visit("id", record.id);
  visit("piece", record.piece);
  visit("time_utc", record.time_utc);
  visit("operator", record.operator_name);
  visit(kFieldOfCorrection, record.field);
  visit("value", record.value);
  visit("note", record.note);
}

}  // namespace app
