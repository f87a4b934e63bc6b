// What the log keeps: pieces, and what came of them.
#pragma once

#include <string>
#include <variant>

#include "app/records/inspection.h"
#include "app/records/piece_record.h"

namespace app {

using LogEntry = std::variant<PieceRecord, Inspection>;

inline const std::string& id_of(const LogEntry& entry) {
  return std::visit([](const auto& one) -> const std::string& { return one.id; }, entry);
}

}  // namespace app
