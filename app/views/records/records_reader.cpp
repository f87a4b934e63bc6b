#include "app/views/records/records_reader.h"

#include <SQLiteCpp/SQLiteCpp.h>

#include <algorithm>
#include <chrono>
#include <utility>

#include "app/records/piece_table.h"
#include "app/records/table_rows.h"

namespace app {
namespace {

constexpr auto kLetGo = std::chrono::seconds(60);

std::optional<OpenedPiece> opened(const std::filesystem::path& file, const PieceRows& rows, std::int64_t seq) {
  const auto all = rows.all();
  const auto row = std::lower_bound(all.begin(), all.end(), seq,
                                    [](const PieceRow& one, std::int64_t wanted) { return one.seq < wanted; });
  if (row == all.end() || row->seq != seq) return std::nullopt;
  SQLite::Database database = open_to_read(file);
  SQLite::Statement query = selection<PieceRecord>(database, "WHERE seq = ?");
  query.bind(1, seq);
  std::optional<PieceRecord> record = first_in<PieceRecord>(query);
  if (!record) return std::nullopt;
  std::optional<Inspection> inspection = inspection_of(database, record->id);
  return OpenedPiece{*row, std::move(*record), std::move(inspection)};
}

}  // namespace

RecordsReader::RecordsReader(std::filesystem::path file)
    : file_(std::move(file)), thread_([this](const std::stop_token& stop) { work(stop); }) {}

RecordsReader::~RecordsReader() = default;

void RecordsReader::ask(const RecordsAsk& ask) {
  {
    const std::lock_guard lock(mutex_);
    wanted_ = ask;
    busy_ = true;
  }
  wake_.notify_one();
}

std::shared_ptr<const RecordsSeen> RecordsReader::seen() const {
  const std::lock_guard lock(mutex_);
  return seen_;
}

bool RecordsReader::busy() const {
  const std::lock_guard lock(mutex_);
  return busy_;
}

void RecordsReader::work(const std::stop_token& stop) {
  std::unique_lock lock(mutex_);
  while (!stop.stop_requested()) {
    if (!wake_.wait_for(lock, stop, kLetGo, [this] { return wanted_.has_value(); })) {
      rows_.reset();
      continue;
    }
    const RecordsAsk ask = *std::exchange(wanted_, std::nullopt);
    lock.unlock();
    auto found = answer(ask);
    lock.lock();
    if (found) seen_ = std::move(found);
    busy_ = wanted_.has_value();
  }
}

// Fresh rows that reach back far enough.
void RecordsReader::look(const RecordsAsk& ask, std::time_t now) {
  // The last day with pieces, and the choices, want some weeks whatever the span.
  const std::int64_t since_s = std::min(span_began(ask.span, now), span_began(RecordsSpan::four_weeks, now));
  if (!rows_ || since_s < rows_since_s_) {
    rows_.emplace(file_, since_s);
    rows_since_s_ = since_s;
    changed_ = true;
  }
  changed_ = rows_->refresh() || changed_;
}

// Nothing where the last answer still holds.
std::shared_ptr<const RecordsSeen> RecordsReader::answer(const RecordsAsk& ask) {
  const std::time_t now = std::time(nullptr);
  const std::shared_ptr<const RecordsSeen> last = seen();
  auto found = std::make_shared<RecordsSeen>();
  try {
    look(ask, now);
    const std::int64_t today = span_began(RecordsSpan::today, now);
    if (!changed_ && last && last->ask == ask && last->fault.empty() && today == today_) return nullptr;
    *found = seen_of(*rows_, ask, now);
    if (ask.piece) found->opened = opened(file_, *rows_, *ask.piece);
    today_ = today;
    changed_ = false;
  } catch (const std::exception& error) {  // a locked or damaged file, or no room in memory
    rows_.reset();
    *found = RecordsSeen{};
    found->ask = ask;
    found->fault = error.what();
  }
  return found;
}

}  // namespace app
