// Pieces of the log as lines of a table.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <cstdint>
#include <functional>
#include <vector>

#include "app/exchange/flat_piece.h"

namespace app {

// Hands over these pieces one after another (by their `seq` in the table, see PieceRow), corrected and renamed, each
// with the inspection that counts. Throws SQLite::Exception.
void each_flat_piece(SQLite::Database& database, const std::vector<std::int64_t>& seqs,
                     const std::function<void(const FlatPiece&)>& take);

}  // namespace app
