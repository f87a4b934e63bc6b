#include "app/records/piece_rows.h"

#include <SQLiteCpp/SQLiteCpp.h>
#include <sys/stat.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <limits>
#include <system_error>
#include <utility>

#include "app/records/inspection_fields.h"
#include "app/records/name_history.h"
#include "app/records/name_table.h"
#include "app/records/piece_table.h"
#include "app/records/row_corrections.h"
#include "app/records/row_reader.h"
#include "app/records/utc_time.h"

namespace app {
namespace {

constexpr const char* kPieces =
    "SELECT seq, time_utc, operator, job, garment, cloth, hoop, station, machine, offset_x_mm, offset_y_mm, "
    "rotation_deg, u_offset_mm, u_rotation_deg, tolerance_mm, tolerance_deg, lay_cloth_s, press_s, enter_s, "
    "left_over_mm, left_over_deg, fit_gap_mm, stretch_percent, garment_number, tries, taken, live FROM piece";

PieceRow row_in(const RowReader& in, NameTable& names, const NameHistory& history) {
  PieceRow row;
  row.seq = in.integer(0);
  const std::string_view time = in.text(1);
  row.time_s = seconds_of_utc(time).value_or(0);
  row.operator_name = names.index_of(history.empty() ? in.text(2) : history.now(in.text(2), time));
  int column = 3;
  for (NameIndex* name : {&row.job, &row.garment, &row.cloth, &row.hoop, &row.station, &row.machine})
    *name = names.index_of(in.text(column++));
  for (float* number : {&row.offset_x_mm, &row.offset_y_mm, &row.rotation_deg, &row.u_offset_mm, &row.u_rotation_deg,
                        &row.tolerance_mm, &row.tolerance_deg})
    *number = in.single(column++);
  const float lay_cloth_s = in.single(column++), press_s = in.single(column++);
  row.hooping_s = lay_cloth_s + press_s;
  for (float* number : {&row.enter_s, &row.left_over_mm, &row.left_over_deg, &row.fit_gap_mm, &row.stretch_percent})
    *number = in.single(column++);
  row.garment_number = static_cast<std::int32_t>(in.integer(column++));
  row.tries = static_cast<std::int32_t>(in.integer(column++));
  row.taken = in.integer(column++) != 0;
  row.live = in.integer(column) != 0;
  return row;
}

// 0: there is none.
ino_t number_of(const std::filesystem::path& file) {
  struct stat found {};
  return ::stat(file.c_str(), &found) == 0 ? found.st_ino : 0;
}

std::int64_t last_of(SQLite::Database& database, const char* table) {
  return database.execAndGet(std::string("SELECT coalesce(max(seq), 0) FROM ") + table).getInt64();
}

}  // namespace

struct PieceRows::State {
  // The last of each table that was read.
  struct Marks {
    std::int64_t pieces = 0, inspections = 0, corrections = 0, namings = 0, erasures = 0;
    bool operator==(const Marks&) const = default;
  };

  bool open();
  Marks found();
  void read_from(std::int64_t above);
  void correct();
  void inspect();
  PieceRow* of_seq(std::int64_t seq);

  std::filesystem::path file;
  std::optional<std::int64_t> since_s;
  std::optional<SQLite::Database> database;
  ino_t file_number = 0;
  std::vector<PieceRow> rows;  // by seq
  NameTable names;
  NameHistory history;
  Marks marks;
};

// False: there is no file, and so no pieces.
bool PieceRows::State::open() {
  const ino_t number = number_of(file);
  if (database && number == file_number) return true;
  database.reset();
  rows.clear();
  marks = {};
  file_number = number;
  if (number == 0) return false;
  database.emplace(open_to_read(file, Threads::one));
  return true;
}

PieceRows::State::Marks PieceRows::State::found() {
  SQLite::Database& in = *database;
  return {last_of(in, "piece"), last_of(in, "inspection"), last_of(in, "correction"), last_of(in, "naming"),
          last_of(in, "erasure")};
}

void PieceRows::State::read_from(std::int64_t above) {
  const std::size_t before = rows.size();
  if (!since_s && before == 0) rows.reserve(static_cast<std::size_t>(last_of(*database, "piece")));
  RowReader in(*database, std::string(kPieces) + (since_s ? " WHERE time_utc >= ?2 AND +seq > ?1" : " WHERE seq > ?1"));
  in.bind(1, above);
  if (since_s) in.bind(2, utc_text(*since_s));
  while (in.next()) rows.push_back(row_in(in, names, history));
  const auto first = rows.begin() + static_cast<std::ptrdiff_t>(before);
  const auto by_seq = [](const PieceRow& a, const PieceRow& b) { return a.seq < b.seq; };
  if (!std::is_sorted(first, rows.end(), by_seq)) std::sort(first, rows.end(), by_seq);
}

PieceRow* PieceRows::State::of_seq(std::int64_t seq) {
  const auto found =
      std::lower_bound(rows.begin(), rows.end(), seq, [](const PieceRow& row, std::int64_t s) { return row.seq < s; });
  return found != rows.end() && found->seq == seq ? &*found : nullptr;
}

void PieceRows::State::correct() {
  RowReader in(*database,
               "SELECT p.seq, c.field, c.value, c.time_utc FROM correction c JOIN piece p ON p.id = c.piece "
               "ORDER BY c.time_utc, c.id");
  while (in.next())
    if (PieceRow* row = of_seq(in.integer(0))) correct_row(*row, in.text(1), in.text(2), in.text(3), names, history);
}

void PieceRows::State::inspect() {
  for (PieceRow& row : rows) row.inspected = false;
  RowReader in(*database,
               "SELECT p.seq, i.outcome, i.offset_x_mm, i.offset_y_mm, i.rotation_deg FROM inspection i "
               "JOIN piece p ON p.id = i.piece ORDER BY i.time_utc, i.id");
  while (in.next()) {
    PieceRow* row = of_seq(in.integer(0));
    if (row == nullptr) continue;
    row->inspected = true;
    row->outcome = outcome_called(in.text(1)).value_or(Outcome::mend);
    row->final_x_mm = in.single(2);
    row->final_y_mm = in.single(3);
    row->final_rotation_deg = in.single(4);
  }
}

PlacedPiece placed(const PieceRow& row) {
  PlacedPiece out;
  out.offset_mm = {row.offset_x_mm, row.offset_y_mm};
  out.rotation_deg = row.rotation_deg;
  out.tolerance_mm = row.tolerance_mm;
  out.tolerance_deg = row.tolerance_deg;
  out.seconds = row.hooping_s;
  out.tries = row.tries;
  return out;
}

bool has_place(const PieceRow& row) {
  return std::isfinite(row.offset_x_mm) && std::isfinite(row.offset_y_mm) && std::isfinite(row.rotation_deg) &&
         row.tolerance_mm > 0.0F && row.tolerance_deg > 0.0F;
}

PieceRows::PieceRows(std::filesystem::path file, std::optional<std::int64_t> since_s)
    : state_(std::make_unique<State>()) {
  state_->file = std::move(file);
  state_->since_s = since_s;
}

PieceRows::~PieceRows() = default;
PieceRows::PieceRows(PieceRows&&) noexcept = default;
PieceRows& PieceRows::operator=(PieceRows&&) noexcept = default;

bool PieceRows::refresh() {
  State& state = *state_;
  const bool had_any = !state.rows.empty();
  if (!state.open()) return had_any;
  SQLite::Transaction as_of_now(*state.database);  // all tables as of one moment
  const State::Marks found = state.found();
  const State::Marks before = state.marks;
  if (found == before) return false;
  const bool anew = before == State::Marks{} || found.corrections != before.corrections ||
                    found.namings != before.namings || found.erasures != before.erasures;
  if (anew) {
    state.rows.clear();
    state.history = NameHistory(namings_of(*state.database));
  }
  state.marks = {};  // should anything fail, all is read again
  state.read_from(anew ? 0 : before.pieces);
  if (anew || found.pieces != before.pieces) state.correct();
  if (anew || found.inspections != before.inspections || found.pieces != before.pieces) state.inspect();
  state.marks = found;
  return true;
}

std::span<const PieceRow> PieceRows::all() const { return state_->rows; }
const std::vector<std::string>& PieceRows::names() const { return state_->names.names(); }
bool PieceRows::hidden(NameIndex operator_name) const { return state_->history.hidden(name(operator_name)); }

std::vector<PieceRow> PieceRows::select(const PieceFilter& filter) const {
  // A name that no row has selects nothing.
  constexpr NameIndex kNobody = std::numeric_limits<NameIndex>::max();
  struct Wanted {
    NameIndex PieceRow::*field;
    NameIndex name;
  };
  std::vector<Wanted> wanted;
  const auto add = [&](const std::optional<std::string>& name, NameIndex PieceRow::*field) {
    if (!name) return;
    const auto found = std::find(names().begin(), names().end(), *name);
    wanted.push_back({field, found == names().end() ? kNobody : static_cast<NameIndex>(found - names().begin())});
  };
  add(filter.operator_name, &PieceRow::operator_name);
  add(filter.job, &PieceRow::job);
  add(filter.garment, &PieceRow::garment);
  add(filter.cloth, &PieceRow::cloth);
  add(filter.hoop, &PieceRow::hoop);
  add(filter.station, &PieceRow::station);
  add(filter.machine, &PieceRow::machine);
  std::vector<PieceRow> out;
  for (const PieceRow& row : all()) {
    if (row.set_aside && !filter.with_set_aside) continue;
    if (filter.since_s && row.time_s < *filter.since_s) continue;
    if (filter.until_s && row.time_s >= *filter.until_s) continue;
    if (std::all_of(wanted.begin(), wanted.end(), [&](const Wanted& one) { return row.*one.field == one.name; }))
      out.push_back(row);
  }
  // Rows that came from other stations stand behind; a clock may have gone back.
  const auto by_time = [](const PieceRow& a, const PieceRow& b) { return a.time_s < b.time_s; };
  if (!std::is_sorted(out.begin(), out.end(), by_time)) std::stable_sort(out.begin(), out.end(), by_time);
  return out;
}

}  // namespace app
