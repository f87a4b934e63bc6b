// An operator's name taken out of the records for good. What stays are pieces under a made-up name; who it was cannot
// be told from it.
#pragma once

#include <cstddef>
#include <string>

namespace SQLite {
class Database;
}

namespace app {

struct Anonymised {
  std::string pseudonym;     // "Operator 7K3M", random
  std::size_t records = 0;   // rows that had the name
  std::size_t pictures = 0;  // of those pieces, deleted
  std::size_t mentions = 0;  // notes that have the name among other words: they stay
};

// `name`: as it is called now. Every row that means this person, under whatever name it was kept, gets the pseudonym
// and a row in `erasure` that says so, all or none. Afterwards the database's files do not hold the name any more, not
// even in their free pages. Copies (backups, exports, another station's file until it has pulled) keep it. Throws
// calib::FileError: nobody is called so; what waits in the journal must be merged first; or another program reads the
// database, and the files still hold the name (done again it is mended). Throws SQLite::Exception.
Anonymised anonymise(SQLite::Database& database, const std::string& name);

// After rows came from other stations: where an erasure's record has a name here still, that name is taken out of it
// and of every record that means the same person, up to the erasure's time; a namesake keeps hers. Says how many rows
// were changed; once more changes nothing but what a program that read the database had prevented. Throws as
// anonymise(), calib::FileError only when the names are out of the records already.
std::size_t apply_erasures(SQLite::Database& database);

}  // namespace app
