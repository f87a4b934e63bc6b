// Pictures of pieces in the database. Every function throws SQLite::Exception.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "app/records/piece_picture.h"

namespace app {

// All or none; of all pictures then the newest `most` stay.
void insert_pictures(SQLite::Database& database, const std::vector<PiecePicture>& pictures,
                     std::size_t most = kPicturesKept);
std::optional<PiecePicture> picture_of(SQLite::Database& database, const std::string& piece_id);

}  // namespace app
