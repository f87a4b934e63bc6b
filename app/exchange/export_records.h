// The log as files that other programs read.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <cstdint>
#include <ostream>
#include <vector>

namespace app {

// All throw SQLite::Exception. `no_names`: operators become "Operator 1" ... and what people wrote in their own words
// is left out.

// Comma-separated values with the columns of column_meanings(): pieces as they count now. Taken in again they give the
// same figures.
void export_csv(SQLite::Database& database, const std::vector<std::int64_t>& seqs, bool no_names, std::ostream& out);

// One JSON object a line, as the records were kept: the pieces, then what came of them and what was corrected, then
// what was said of names (not without names). Taken in again they give the same records.
void export_json_lines(SQLite::Database& database, const std::vector<std::int64_t>& seqs, bool no_names,
                       std::ostream& out);

}  // namespace app
