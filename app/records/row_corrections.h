// A correction applied to a short row.
#pragma once

#include <string_view>

#include "app/records/name_history.h"
#include "app/records/name_table.h"
#include "app/records/piece_rows.h"

namespace app {

// A field that short rows do not have, or a value that is no number, changes nothing.
void correct_row(PieceRow& row, std::string_view field, std::string_view value, std::string_view time_utc,
                 NameTable& names, const NameHistory& history);

}  // namespace app
