// A kept piece as it counts now: corrected, its operator under the present name.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <string>
#include <vector>

#include "app/records/correction.h"
#include "app/records/name_history.h"
#include "app/records/piece_record.h"

namespace app {

// What is wrong with a correction, in a sentence that says what to write instead; empty: nothing. Names of fields are
// those of kCorrectable, numbers have a point and lie in their ranges.
std::string fault_of_correction(const Correction& correction);

// `corrections` of this piece, in the order of time and id. One that cannot be applied changes nothing. Says whether
// the piece is set aside.
bool correct(PieceRecord& piece, const std::vector<Correction>& corrections, const NameHistory& names);

// In the order of time and id. Throws SQLite::Exception.
std::vector<Correction> corrections_of(SQLite::Database& database, const std::string& piece_id);

// The piece of this id, or of the only one that begins so (at least 4 characters), as it was kept. Throws
// calib::FileError that says what to write, or SQLite::Exception.
PieceRecord piece_called(SQLite::Database& database, const std::string& id);

}  // namespace app
