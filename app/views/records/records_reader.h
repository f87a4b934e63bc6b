// Reads the records on a thread of its own, so that the screen never waits for the disk.
#pragma once

#include <condition_variable>
#include <filesystem>
#include <memory>
#include <mutex>
#include <optional>
#include <thread>

#include "app/views/records/records_seen.h"

namespace app {

class RecordsReader {
 public:
  // The log's file, which need not be there.
  explicit RecordsReader(std::filesystem::path file);
  ~RecordsReader();
  RecordsReader(const RecordsReader&) = delete;
  RecordsReader& operator=(const RecordsReader&) = delete;

  // From now on this is wanted; the same again looks for what is new, which costs little. Returns at once; of several
  // the last counts. While nothing is asked for kLetGo the rows in memory are let go of.
  void ask(const RecordsAsk& ask);
  // The newest answer, which may be one to an earlier question; none before the first.
  std::shared_ptr<const RecordsSeen> seen() const;
  bool busy() const;

 private:
  void work(const std::stop_token& stop);
  std::shared_ptr<const RecordsSeen> answer(const RecordsAsk& ask);
  void look(const RecordsAsk& ask, std::time_t now);

  std::filesystem::path file_;
  mutable std::mutex mutex_;
  std::condition_variable_any wake_;
  std::optional<RecordsAsk> wanted_;  // guarded, as the next two
  std::shared_ptr<const RecordsSeen> seen_;
  bool busy_ = false;

  // The thread's own.
  std::optional<PieceRows> rows_;
  std::int64_t rows_since_s_ = 0;
  std::int64_t today_ = 0;  // of the last answer
  bool changed_ = false;    // since the last answer
  std::jthread thread_;     // last: it is joined before the rest goes
};

}  // namespace app
