// A piece as a line of JSON, for the journal.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "app/records/piece_record.h"

namespace app {

// One line without its end. A value that is no number is null.
std::string piece_json(const PieceRecord& record);
// Nothing for a line that is not whole.
std::optional<PieceRecord> piece_from_json(std::string_view line);

}  // namespace app
