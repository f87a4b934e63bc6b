// All that is kept of a naming, field by field, as app/records/piece_fields.h does it for pieces.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <type_traits>

#include "app/records/naming.h"

namespace app {

// As it stands on disk. Nothing for a name that this program does not know.
std::string_view naming_kind_name(Naming::Kind kind);
std::optional<Naming::Kind> naming_kind_called(std::string_view name);

inline constexpr std::string_view kNewNameOfNaming = "new_name";  // which no other record's own line has

template <typename Record, typename Visit>
requires std::is_same_v<std::remove_const_t<Record>, Naming>
void each_field(Record& record, Visit&& visit) {
  visit("id", record.id);
  visit("time_utc", record.time_utc);
  std::string kind(naming_kind_name(record.kind));
  visit("kind", kind);
  visit("name", record.name);
  visit(kNewNameOfNaming, record.new_name);
  if constexpr (!std::is_const_v<Record>) record.kind = naming_kind_called(kind).value_or(Naming::Kind::hide);
}

}  // namespace app
