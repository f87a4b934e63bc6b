// What the log keeps: pieces, what came of them, and what was said of them and of names later.
#pragma once

#include <string>
#include <tuple>
#include <variant>

#include "app/records/correction.h"
#include "app/records/inspection.h"
#include "app/records/naming.h"
#include "app/records/piece_record.h"

namespace app {

using LogEntry = std::variant<PieceRecord, Inspection, Correction, Naming>;

inline const std::string& id_of(const LogEntry& entry) {
  return std::visit([](const auto& one) -> const std::string& { return one.id; }, entry);
}

// The one of two that counts, the same on every station.
template <typename Record>
bool is_later(const Record& one, const Record& other) {
  return std::tie(one.time_utc, one.id) > std::tie(other.time_utc, other.id);
}

}  // namespace app
