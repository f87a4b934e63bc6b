// The writing side of the log, on a thread of its own: into the database, or into the journal while that fails.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>
#include <sys/types.h>

#include <chrono>
#include <exception>
#include <filesystem>
#include <optional>
#include <thread>

#include "app/records/held_pieces.h"
#include "app/records/piece_journal.h"
#include "app/records/piece_log.h"

namespace app {

class PieceWriter {
 public:
  // Opens both files, then starts the thread. `held` outlives it.
  PieceWriter(std::filesystem::path file, const PieceLogOptions& options, HeldPieces& held);
  // Writes what still waits.
  ~PieceWriter();
  PieceWriter(const PieceWriter&) = delete;
  PieceWriter& operator=(const PieceWriter&) = delete;

 private:
  void run();
  // Waits for something to do. False: the end.
  bool wait();
  bool wanted() const;          // held_.mutex is held
  bool waits_for_time() const;  // likewise: or only for a wish
  void pass(bool at_once);

  void open_journal();
  void to_journal();
  void open_database();
  void to_database();
  void pictures_to_database();
  bool file_was_taken_away() const;
  void put_aside();
  void failed(const std::exception& error);
  void back_off();

  std::filesystem::path file_;
  PieceLogOptions options_;
  HeldPieces& held_;
  PieceJournal journal_;
  std::optional<SQLite::Database> database_;
  ino_t file_number_ = 0;
  bool checked_ = false;  // read through since it was opened first
  bool damaged_ = false;  // not touched until the operator knows
  double retry_s_;
  std::chrono::steady_clock::time_point retry_at_{};
  std::thread thread_;
};

}  // namespace app
