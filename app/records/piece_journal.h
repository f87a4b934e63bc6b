// Where pieces, and what came of them, wait while their database cannot be written: a file of JSON lines beside it. Its
// room on the disk is taken beforehand, so that a full disk still leaves some.
#pragma once

#include <cstddef>
#include <filesystem>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "app/records/log_entry.h"

namespace app {

class PieceJournal {
 public:
  // At most so many pieces. The file is opened by open().
  PieceJournal(std::filesystem::path file, std::size_t limit) : file_(std::move(file)), limit_(limit) {}
  ~PieceJournal();
  PieceJournal(const PieceJournal&) = delete;
  PieceJournal& operator=(const PieceJournal&) = delete;

  // Opens it, for this program alone, and gives what an earlier run left there, in order. Nothing when it cannot be.
  std::optional<std::vector<LogEntry>> open();
  bool is_open() const { return descriptor_ >= 0; }
  // Someone deleted the file: what is written goes nowhere.
  bool was_taken_away() const;
  // Writes the first pieces of these as far as they fit; says how many are on the disk now. It may be closed after a
  // failure.
  std::size_t append(const std::vector<LogEntry>& pieces);
  bool full() const { return count_ >= limit_; }
  std::size_t limit() const { return limit_; }
  // Everything is in the database. Lines that could not be read are not thrown away: the file is put aside then.
  // False: the pieces still stand there, and would be merged once more, which does no harm.
  bool clear();

 private:
  std::vector<LogEntry> read();
  bool write(const std::string& line);
  void cut(std::size_t size);
  void reserve() const;
  void close();

  std::filesystem::path file_;
  std::size_t limit_;
  int descriptor_ = -1;
  std::size_t size_ = 0;   // bytes of whole lines
  std::size_t count_ = 0;  // pieces
  bool unread_ = false;    // holds lines that are no pieces
};

}  // namespace app
