// A piece, and each other record of the log, as a line of JSON, for the journal.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "app/records/log_entry.h"

namespace app {

// One line without its end. A value that is no number is null.
std::string piece_json(const PieceRecord& record);
// Nothing for a line that is not whole.
std::optional<PieceRecord> piece_from_json(std::string_view line);

// The same for all that the log keeps.
std::string entry_json(const LogEntry& entry);
std::optional<LogEntry> entry_from_json(std::string_view line);

}  // namespace app
