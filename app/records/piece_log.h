// The pieces that were hooped, kept on disk (SQLite) beside the station file.
#pragma once

#include <cstddef>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "app/records/anonymise.h"
#include "app/records/correction.h"
#include "app/records/inspection.h"
#include "app/records/name_history.h"
#include "app/records/naming.h"
#include "app/records/piece_picture.h"
#include "app/records/piece_record.h"

namespace app {

struct PieceLogOptions {
  std::size_t journal_pieces = 5000;  // at most in the journal; more wait in memory, and that is said
  int busy_ms = 1000;                 // waiting for another program's lock
  double first_retry_s = 1.0;         // after a failure; each further one doubles it
  double longest_retry_s = 60.0;
};

// Every piece is on disk, in the database or, while that cannot be written, in a bounded journal beside it that is
// merged when the trouble ends. All of it on the caller's thread but for the writing.
class PieceLog {
 public:
  // Opens or makes the database; a fault is in trouble(), and the journal serves meanwhile.
  explicit PieceLog(std::filesystem::path file, const PieceLogOptions& options = {});
  ~PieceLog();
  PieceLog(const PieceLog&) = delete;
  PieceLog& operator=(const PieceLog&) = delete;

  // Hands the piece over; returns at once. Gives it its id, and the time where it has none.
  void keep(PieceRecord record);
  // The same for what came of a piece, and for what was said of one or of a name later.
  void keep(Inspection inspection);
  void keep(Correction correction);
  void keep(Naming naming);
  // Of a piece that is kept; a picture may be lost where the piece is not: it goes into the database alone.
  void keep(PiecePicture picture);
  // Pieces handed over that are not yet on disk.
  std::size_t waiting() const;
  // What is wrong with keeping, in the operator's words; empty while all is well.
  std::string trouble() const;
  // trouble() stands on the screen: only then is a damaged database put aside (renamed, never deleted) and a new one
  // begun.
  void trouble_shown();
  // Damaged databases that lie put aside.
  std::vector<std::filesystem::path> put_aside() const;
  // This station's, the newest first, at most `count`, also those that only the journal has; with what was said of
  // them and of names later (app/records/corrected.h).
  std::vector<PieceRecord> newest(std::size_t count) const;
  // What became of operators' names.
  NameHistory names() const;
  std::optional<PiecePicture> picture_of(const std::string& piece_id) const;
  // What came of pieces, the last first by time, at most `count`; the first of a piece is the one that counts.
  std::vector<Inspection> newest_inspections(std::size_t count) const;
  // The one that counts.
  std::optional<Inspection> inspection_of(const std::string& piece_id) const;
  // This station's pieces since a time (UTC, as in a record), of one operator; an empty name is everybody.
  std::size_t count_since(const std::string& time_utc, const std::string& operator_name) const;
  // All of this station's pieces of a job, however old; "" counts those without one.
  std::size_t count_of_job(const std::string& job) const;
  // Waits until all is on disk, at most so long. False: something still waits.
  bool flush(double seconds);
  // Tries the database at once instead of when its time has come. Whether it has every piece then.
  bool merge(double seconds);
  // Takes an operator's name out for good (app/records/anonymise.h); what waits is merged first. From any thread.
  Anonymised anonymise(const std::string& name);
  // Another part of the program has changed the database: what was asked is asked anew. From any thread.
  void changed_beside();
  const std::filesystem::path& file() const;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

std::filesystem::path log_file(const std::filesystem::path& station_file);

}  // namespace app
