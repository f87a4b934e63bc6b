// What can be wrong with keeping pieces, and how the operator is told.
#pragma once

#include <cstddef>
#include <string>

namespace app {

struct LogTrouble {
  enum class Kind {
    none,
    full,       // the disk
    read_only,  // file or folder
    locked,     // by another program
    damaged,    // the database's content
    newer,      // written by a newer program
    other,
  };
  Kind kind = Kind::none;
  std::string file;            // the database's
  std::string detail;          // of `other`: the library's words
  std::size_t in_journal = 0;  // pieces that only the journal has
  std::size_t in_memory = 0;   // pieces that nothing on the disk has
  std::size_t journal_limit = 0;
  bool journal_full = false;
  bool journal_failed = false;  // what is in memory was tried
};

// Called with the error that is being handled; what it is not made for is `other`.
LogTrouble::Kind kind_of(const std::exception& error);

// What is wrong, what to do, and where the pieces are meanwhile; in the language of the screen. Empty for `none`.
std::string trouble_words(const LogTrouble& trouble);

}  // namespace app
