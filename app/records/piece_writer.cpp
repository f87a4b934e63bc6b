#include "app/records/piece_writer.h"

#include <sys/stat.h>

#include <algorithm>
#include <array>
#include <utility>

#include "app/places.h"
#include "app/records/picture_table.h"
#include "app/records/piece_table.h"

namespace app {
namespace {

using Clock = std::chrono::steady_clock;

// The database and what SQLite keeps beside it.
constexpr std::array<const char*, 3> kParts{"", "-wal", "-shm"};

bool contains(const std::vector<LogEntry>& pieces, const std::string& id) {
  return std::any_of(pieces.begin(), pieces.end(), [&](const LogEntry& one) { return id_of(one) == id; });
}

// 0: there is none.
ino_t number_of(const std::filesystem::path& file) {
  struct stat found {};
  return ::stat(file.c_str(), &found) == 0 ? found.st_ino : 0;
}

void drop_first(std::vector<LogEntry>& pieces, std::size_t count) {
  pieces.erase(pieces.begin(), pieces.begin() + static_cast<std::ptrdiff_t>(count));
}

}  // namespace

PieceWriter::PieceWriter(std::filesystem::path file, const PieceLogOptions& options, HeldPieces& held)
    : file_(std::move(file)),
      options_(options),
      held_(held),
      journal_(file_.string() + ".journal", options.journal_pieces),
      retry_s_(options.first_retry_s) {
  held_.trouble.file = file_.filename().string();
  held_.trouble.journal_limit = options.journal_pieces;
  open_journal();
  try {
    open_database();
  } catch (const std::exception& error) {
    failed(error);
  }
  held_.fresh = true;  // the journal may have left something, and the database is to be read through
  thread_ = std::thread([this] { run(); });
}

PieceWriter::~PieceWriter() {
  {
    const std::scoped_lock lock(held_.mutex);
    held_.stop = true;
  }
  held_.wake.notify_all();
  thread_.join();
}

void PieceWriter::run() {
  bool more = true;
  while (more) {
    more = wait();
    unsigned long asked = 0;
    {
      const std::scoped_lock lock(held_.mutex);
      asked = held_.asked;
    }
    pass(!more || asked != held_.answered);
    {
      const std::scoped_lock lock(held_.mutex);
      held_.answered = asked;
    }
    held_.changed.notify_all();
  }
}

bool PieceWriter::wanted() const { return held_.stop || held_.fresh || held_.doubted || held_.asked != held_.answered; }

bool PieceWriter::waits_for_time() const {
  if (damaged_ && !held_.shown) return !held_.memory.empty();
  return held_.trouble.kind != LogTrouble::Kind::none;
}

bool PieceWriter::wait() {
  std::unique_lock lock(held_.mutex);
  while (!wanted() && !(waits_for_time() && Clock::now() >= retry_at_)) {
    if (waits_for_time())
      held_.wake.wait_until(lock, retry_at_);
    else
      held_.wake.wait(lock);
  }
  held_.fresh = false;
  if (std::exchange(held_.doubted, false)) checked_ = false;
  return !held_.stop;
}

void PieceWriter::pass(bool at_once) {
  if (!journal_.is_open() || journal_.was_taken_away()) open_journal();
  bool shown = false;
  bool well = false;
  {
    const std::scoped_lock lock(held_.mutex);
    shown = held_.shown;
    well = held_.trouble.kind == LogTrouble::Kind::none;
  }
  const bool due = well || at_once || Clock::now() >= retry_at_;
  if (due && damaged_ && !shown)
    back_off();  // the journal's turn alone
  else if (due)
    to_database();
  to_journal();
}

void PieceWriter::open_journal() {
  std::optional<std::vector<LogEntry>> left = journal_.open();
  if (!left) return;
  const std::scoped_lock lock(held_.mutex);
  // Someone may have taken the file away: what it had is written again.
  std::vector<LogEntry> again;
  for (LogEntry& one : held_.journalled)
    if (!contains(*left, id_of(one))) again.push_back(std::move(one));
  held_.memory.insert(held_.memory.begin(), std::make_move_iterator(again.begin()),
                      std::make_move_iterator(again.end()));
  held_.journalled = std::move(*left);
  ++held_.version;
}

void PieceWriter::to_journal() {
  std::vector<LogEntry> batch;
  {
    const std::scoped_lock lock(held_.mutex);
    batch = held_.memory;
  }
  const std::size_t written = batch.empty() ? 0 : journal_.append(batch);
  const std::scoped_lock lock(held_.mutex);
  held_.trouble.journal_full = journal_.full();
  held_.trouble.journal_failed = written < batch.size();
  if (written == 0) return;
  held_.journalled.insert(held_.journalled.end(), batch.begin(), batch.begin() + static_cast<std::ptrdiff_t>(written));
  drop_first(held_.memory, written);
  ++held_.version;
}

void PieceWriter::open_database() {
  make_room_for(file_);
  database_.emplace(open_to_write(file_, options_.busy_ms));
  file_number_ = number_of(file_);
  const std::scoped_lock lock(held_.mutex);
  ++held_.generation;
  ++held_.version;
}

// Written to all the same it would be lost with the last that has it open.
bool PieceWriter::file_was_taken_away() const { return number_of(file_) != file_number_; }

void PieceWriter::to_database() {
  std::vector<LogEntry> batch;
  std::size_t from_memory = 0;
  {
    const std::scoped_lock lock(held_.mutex);
    batch = held_.journalled;
    batch.insert(batch.end(), held_.memory.begin(), held_.memory.end());
    from_memory = held_.memory.size();
  }
  try {
    if (damaged_) put_aside();
    if (database_ && file_was_taken_away()) database_.reset();
    if (!database_) open_database();
    if (!checked_) check_whole(*database_);
    checked_ = true;
    if (!batch.empty()) insert(*database_, batch);
    pictures_to_database();
  } catch (const std::exception& error) {
    return failed(error);
  }
  journal_.clear();
  retry_s_ = options_.first_retry_s;
  const std::scoped_lock lock(held_.mutex);
  held_.journalled.clear();
  drop_first(held_.memory, from_memory);
  held_.trouble.kind = LogTrouble::Kind::none;
  held_.shown = false;
  ++held_.version;
}

// Behind their pieces. Optional: one that cannot be written is dropped, and what is wrong shows with the next piece.
void PieceWriter::pictures_to_database() {
  std::vector<PiecePicture> pictures;
  {
    const std::scoped_lock lock(held_.mutex);
    pictures = std::exchange(held_.pictures, {});
  }
  if (pictures.empty()) return;
  try {
    insert_pictures(*database_, pictures);
  } catch (const SQLite::Exception& error) {
    if (says_damaged(error)) throw;
  }
}

void PieceWriter::put_aside() {
  const std::string name = dated_name(file_.string() + ".damaged-").string();
  for (const char* part : kParts) {
    std::error_code error;
    const std::filesystem::path from = file_.string() + part;
    if (!std::filesystem::exists(from, error)) continue;
    std::filesystem::rename(from, name + part, error);
    if (error) throw std::filesystem::filesystem_error("cannot be put aside", from, error);
  }
  damaged_ = false;
}

void PieceWriter::failed(const std::exception& error) {
  const LogTrouble::Kind kind = kind_of(error);
  if (kind == LogTrouble::Kind::damaged) {
    damaged_ = true;
    checked_ = false;
    if (database_) close_as_it_is(*database_);
  }
  database_.reset();
  back_off();
  const std::scoped_lock lock(held_.mutex);
  held_.trouble.kind = kind;
  held_.trouble.detail = error.what();
  held_.shown = false;
}

void PieceWriter::back_off() {
  retry_at_ = Clock::now() + std::chrono::duration_cast<Clock::duration>(std::chrono::duration<double>(retry_s_));
  retry_s_ = std::min(2.0 * retry_s_, options_.longest_retry_s);
}

}  // namespace app
