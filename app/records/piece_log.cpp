#include "app/records/piece_log.h"

#include <algorithm>
#include <chrono>
#include <map>
#include <optional>
#include <set>
#include <utility>
#include <variant>

#include "app/records/corrected.h"
#include "app/records/held_pieces.h"
#include "app/records/picture_table.h"
#include "app/records/piece_table.h"
#include "app/records/piece_writer.h"
#include "app/records/record_id.h"
#include "app/records/utc_now.h"
#include "calib/files.h"

namespace app {
namespace {

constexpr std::size_t kPicturesWaiting = 8;
constexpr double kMergeWait_s = 10.0;
constexpr int kPatience_ms = 5000;

// The last answer, asked for again with every frame.
template <typename Question, typename Answer>
struct Remembered {
  unsigned long version = 0;
  Question question;
  std::optional<Answer> answer;
};

}  // namespace

struct PieceLog::State {
  State(std::filesystem::path log, const PieceLogOptions& options)
      : file(std::move(log)), writer(file, options, held) {}

  // What the database says, or `otherwise` while it cannot be read.
  template <typename Ask>
  auto from_database(Ask ask, decltype(ask(std::declval<SQLite::Database&>())) otherwise);
  // Of one kind.
  template <typename Record>
  std::vector<Record> not_in_database();
  // From both, each once, in the order of `before`, or the newest first as they were kept.
  template <typename Record, typename Ask>
  std::vector<Record> newest_of(std::size_t most, Ask ask, bool (*before)(const Record&, const Record&) = nullptr);
  void correct(std::vector<PieceRecord>& pieces, const NameHistory& history);
  // With its id, and the time where it has none.
  template <typename Record>
  void keep_new(Record record);
  void keep(LogEntry entry);

  std::filesystem::path file;
  HeldPieces held;
  std::optional<SQLite::Database> reader;
  unsigned long reader_generation = 0, doubted_generation = 0;
  Remembered<std::size_t, std::vector<PieceRecord>> newest;
  Remembered<std::size_t, std::vector<Inspection>> inspections;
  Remembered<std::pair<std::string, std::string>, std::size_t> count;
  Remembered<std::monostate, std::map<std::string, std::size_t>> by_job;
  Remembered<std::monostate, NameHistory> names;
  PieceWriter writer;  // the last: its thread ends first
};

template <typename Ask>
auto PieceLog::State::from_database(Ask ask, decltype(ask(std::declval<SQLite::Database&>())) otherwise) {
  unsigned long generation = 0;
  {
    const std::scoped_lock lock(held.mutex);
    generation = held.generation;
  }
  if (generation == 0) return otherwise;  // none was opened yet
  try {
    if (!reader || reader_generation != generation) reader.emplace(open_to_read(file));
    reader_generation = generation;
    return ask(*reader);
  } catch (const SQLite::Exception& error) {
    reader.reset();
    if (says_damaged(error) && doubted_generation != generation) {
      doubted_generation = generation;
      const std::scoped_lock lock(held.mutex);
      held.doubted = true;
      held.wake.notify_all();
    }
    return otherwise;
  }
}

template <typename Record>
std::vector<Record> PieceLog::State::not_in_database() {
  std::vector<Record> out;
  const std::scoped_lock lock(held.mutex);
  for (const auto* list : {&held.journalled, &held.memory})
    for (const LogEntry& entry : *list)
      if (const Record* one = std::get_if<Record>(&entry)) out.push_back(*one);
  return out;
}

template <typename Record, typename Ask>
std::vector<Record> PieceLog::State::newest_of(std::size_t most, Ask ask,
                                               bool (*before)(const Record&, const Record&)) {
  // Before the database is asked: what moves there meanwhile is seen twice, not never.
  const std::vector<Record> others = not_in_database<Record>();
  std::vector<Record> all(others.rbegin(), others.rend());
  for (Record& one : from_database([&](SQLite::Database& database) { return ask(database, most); }, {}))
    all.push_back(std::move(one));
  std::set<std::string> seen;
  std::erase_if(all, [&](const Record& one) { return !seen.insert(one.id).second; });
  if (before) std::stable_sort(all.begin(), all.end(), before);
  all.resize(std::min(all.size(), most));
  return all;
}

template <typename Record>
void PieceLog::State::keep_new(Record record) {
  if (record.id.empty()) record.id = new_record_id();
  if (record.time_utc.empty()) record.time_utc = utc_now();
  keep(std::move(record));
}

void PieceLog::State::correct(std::vector<PieceRecord>& pieces, const NameHistory& history) {
  std::map<std::string, std::vector<Correction>> of_piece;
  const std::vector<Correction> others = not_in_database<Correction>();
  for (const auto& list :
       {from_database([&](SQLite::Database& database) { return corrections_of_newest(database, pieces.size()); }, {}),
        others})
    for (const Correction& one : list) of_piece[one.piece].push_back(one);
  for (PieceRecord& piece : pieces) {
    std::vector<Correction>& said = of_piece[piece.id];
    std::sort(said.begin(), said.end(), [](const Correction& a, const Correction& b) { return is_later(b, a); });
    piece.set_aside = app::correct(piece, said, history);
  }
}

void PieceLog::State::keep(LogEntry entry) {
  {
    const std::scoped_lock lock(held.mutex);
    held.memory.push_back(std::move(entry));
    held.fresh = true;
    ++held.version;
  }
  held.wake.notify_all();
}

PieceLog::PieceLog(std::filesystem::path file, const PieceLogOptions& options)
    : state_(std::make_unique<State>(std::move(file), options)) {}

PieceLog::~PieceLog() = default;

void PieceLog::keep(PieceRecord record) { state_->keep_new(std::move(record)); }
void PieceLog::keep(Inspection inspection) { state_->keep_new(std::move(inspection)); }
void PieceLog::keep(Correction correction) { state_->keep_new(std::move(correction)); }
void PieceLog::keep(Naming naming) { state_->keep_new(std::move(naming)); }

void PieceLog::keep(PiecePicture picture) {
  if (picture.jpeg.empty()) return;
  if (picture.time_utc.empty()) picture.time_utc = utc_now();
  {
    const std::scoped_lock lock(state_->held.mutex);
    auto& waiting = state_->held.pictures;
    if (waiting.size() >= kPicturesWaiting) waiting.erase(waiting.begin());
    waiting.push_back(std::move(picture));
    state_->held.fresh = true;
  }
  state_->held.wake.notify_all();
}

std::size_t PieceLog::waiting() const {
  const std::scoped_lock lock(state_->held.mutex);
  return state_->held.memory.size();
}

std::string PieceLog::trouble() const {
  LogTrouble trouble;
  {
    const std::scoped_lock lock(state_->held.mutex);
    trouble = state_->held.trouble;
    trouble.in_memory = state_->held.memory.size();
    trouble.in_journal = state_->held.journalled.size();
  }
  return trouble_words(trouble);
}

void PieceLog::trouble_shown() {
  {
    const std::scoped_lock lock(state_->held.mutex);
    if (state_->held.trouble.kind == LogTrouble::Kind::none) return;
    state_->held.shown = true;
  }
  state_->held.wake.notify_all();
}

std::vector<std::filesystem::path> PieceLog::put_aside() const {
  const std::string start = state_->file.filename().string() + ".damaged-";
  std::vector<std::filesystem::path> out;
  std::error_code error;
  for (std::filesystem::directory_iterator entry(state_->file.parent_path(), error), end; !error && entry != end;
       entry.increment(error)) {
    const std::string name = entry->path().filename().string();
    if (name.starts_with(start) && !name.ends_with("-wal") && !name.ends_with("-shm")) out.push_back(entry->path());
  }
  std::sort(out.begin(), out.end());
  return out;
}

std::vector<PieceRecord> PieceLog::newest(std::size_t count) const {
  State& state = *state_;
  unsigned long version = 0;
  {
    const std::scoped_lock lock(state.held.mutex);
    version = state.held.version;
  }
  auto& last = state.newest;
  if (last.answer && last.version == version && last.question == count) return *last.answer;
  std::vector<PieceRecord> all = state.newest_of<PieceRecord>(
      count, [](SQLite::Database& database, std::size_t most) { return app::newest(database, most); });
  state.correct(all, names());
  last = {version, count, all};
  return all;
}

NameHistory PieceLog::names() const {
  State& state = *state_;
  unsigned long version = 0;
  {
    const std::scoped_lock lock(state.held.mutex);
    version = state.held.version;
  }
  auto& last = state.names;
  if (last.answer && last.version == version) return *last.answer;
  std::vector<Naming> all = state.not_in_database<Naming>();
  for (Naming& one : state.from_database(namings_of, {}))
    if (std::none_of(all.begin(), all.end(), [&](const Naming& held) { return held.id == one.id; }))
      all.push_back(std::move(one));
  last = {version, {}, NameHistory(std::move(all))};
  return *last.answer;
}

std::optional<PiecePicture> PieceLog::picture_of(const std::string& piece_id) const {
  return state_->from_database([&](SQLite::Database& database) { return app::picture_of(database, piece_id); }, {});
}

std::vector<Inspection> PieceLog::newest_inspections(std::size_t count) const {
  State& state = *state_;
  unsigned long version = 0;
  {
    const std::scoped_lock lock(state.held.mutex);
    version = state.held.version;
  }
  auto& last = state.inspections;
  if (last.answer && last.version == version && last.question == count) return *last.answer;
  std::vector<Inspection> all = state.newest_of<Inspection>(
      count, [](SQLite::Database& database, std::size_t most) { return app::newest_inspections(database, most); },
      is_later<Inspection>);
  last = {version, count, all};
  return all;
}

std::optional<Inspection> PieceLog::inspection_of(const std::string& piece_id) const {
  auto others = state_->not_in_database<Inspection>();
  auto last =
      state_->from_database([&](SQLite::Database& database) { return app::inspection_of(database, piece_id); }, {});
  for (Inspection& one : others)
    if (one.piece == piece_id && (!last || is_later(one, *last))) last = std::move(one);
  return last;
}

std::size_t PieceLog::count_since(const std::string& time_utc, const std::string& operator_name) const {
  State& state = *state_;
  unsigned long version = 0;
  {
    const std::scoped_lock lock(state.held.mutex);
    version = state.held.version;
  }
  auto& last = state.count;
  const auto question = std::pair(time_utc, operator_name);
  if (last.answer && last.version == version && last.question == question) return *last.answer;
  std::set<std::string> others;
  for (const PieceRecord& one : state.not_in_database<PieceRecord>())
    if (one.time_utc >= time_utc && (operator_name.empty() || one.operator_name == operator_name))
      others.insert(one.id);
  const std::size_t total = state.from_database(
      [&](SQLite::Database& database) {
        SQLite::Transaction as_of_now(database);  // a piece that moves there meanwhile is counted once
        const auto in_both = static_cast<std::size_t>(
            std::count_if(others.begin(), others.end(), [&](const std::string& id) { return has(database, id); }));
        return app::count_since(database, time_utc, operator_name) + others.size() - in_both;
      },
      others.size());
  last = {version, question, total};
  return total;
}

std::size_t PieceLog::count_of_job(const std::string& job) const {
  State& state = *state_;
  unsigned long version = 0;
  {
    const std::scoped_lock lock(state.held.mutex);
    version = state.held.version;
  }
  auto& last = state.by_job;
  if (!last.answer || last.version != version) {
    const std::vector<PieceRecord> others = state.not_in_database<PieceRecord>();
    const auto with_others = [&](std::map<std::string, std::size_t> counts, auto&& is_counted) {
      std::set<std::string> seen;
      for (const PieceRecord& one : others)
        if (seen.insert(one.id).second && !is_counted(one.id)) ++counts[one.job];
      return counts;
    };
    last = {version,
            {},
            state.from_database(
                [&](SQLite::Database& database) {
                  SQLite::Transaction as_of_now(database);  // a piece that moves there meanwhile is counted once
                  return with_others(count_by_job(database), [&](const std::string& id) { return has(database, id); });
                },
                with_others({}, [](const std::string&) { return false; }))};
  }
  const auto found = last.answer->find(job);
  return found != last.answer->end() ? found->second : 0;
}

bool PieceLog::flush(double seconds) {
  std::unique_lock lock(state_->held.mutex);
  return state_->held.changed.wait_for(lock, std::chrono::duration<double>(seconds),
                                       [this] { return state_->held.memory.empty(); });
}

bool PieceLog::merge(double seconds) {
  HeldPieces& held = state_->held;
  std::unique_lock lock(held.mutex);
  const unsigned long mine = ++held.asked;
  held.wake.notify_all();
  return held.changed.wait_for(lock, std::chrono::duration<double>(seconds), [&] { return held.answered >= mine; }) &&
         held.trouble.kind == LogTrouble::Kind::none && held.memory.empty() && held.journalled.empty();
}

Anonymised PieceLog::anonymise(const std::string& name) {
  if (!merge(kMergeWait_s)) {
    const std::string why = trouble();
    throw calib::FileError(why.empty() ? "the records are busy; do this again in a moment" : why);
  }
  SQLite::Database database = open_to_write(state_->file, kPatience_ms);
  Anonymised out = app::anonymise(database, name);
  changed_beside();
  return out;
}

void PieceLog::changed_beside() {
  const std::scoped_lock lock(state_->held.mutex);
  ++state_->held.version;
}

const std::filesystem::path& PieceLog::file() const { return state_->file; }

std::filesystem::path log_file(const std::filesystem::path& station_file) {
  return station_file.parent_path() / "pieces.sqlite";
}

}  // namespace app
