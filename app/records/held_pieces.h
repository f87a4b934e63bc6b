// What the log and its writer's thread share.
#pragma once

#include <condition_variable>
#include <mutex>
#include <string>
#include <vector>

#include "app/records/log_entry.h"
#include "app/records/log_trouble.h"
#include "app/records/piece_picture.h"

namespace app {

struct HeldPieces {
  std::mutex mutex;
  std::condition_variable wake;     // the writer has something to do
  std::condition_variable changed;  // it has done something

  // All below under the mutex. Pieces and inspections in the order in which they were kept; one may for a moment stand
  // in the database or the other list as well, so whoever shows them looks at their ids.
  std::vector<LogEntry> memory;        // nothing on the disk has them
  std::vector<LogEntry> journalled;    // in the journal, and the database has not taken them yet
  std::vector<PiecePicture> pictures;  // nothing has them; they wait for the database alone, a few at most
  LogTrouble trouble;                  // but for its counts
  bool fresh = false;                  // a piece came
  bool shown = false;                  // the trouble stands on the screen
  bool doubted = false;                // a reader found the database damaged
  bool stop = false;
  unsigned long version = 0;              // of all that can be asked
  unsigned long generation = 0;           // of the database's file
  unsigned long asked = 0, answered = 0;  // for a try at once
};

}  // namespace app
