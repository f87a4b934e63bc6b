// Pieces kept on disk while all is well: what is kept, and in what form.
#include <SQLiteCpp/SQLiteCpp.h>

#include <algorithm>
#include <cmath>
#include <string_view>

#include "app/records/migrations.h"
#include "app/records/piece_fields.h"
#include "app/records/piece_json.h"
#include "app/records/piece_log.h"
#include "app/records/piece_table.h"
#include "app/records/record_id.h"
#include "tests/app/sample_piece.h"
#include "tests/catch.h"
#include "tests/error_of.h"
#include "tests/temporary_folder.h"

using sample::numbers;
using sample::piece;
using Numbers = std::vector<int>;

namespace {

// x: a digit of sixteen, d: of ten, v: 8, 9, a or b; all else stands for itself.
bool is_like(std::string_view text, std::string_view pattern) {
  const auto fits = [](char one, char wanted) {
    constexpr std::string_view kDigits = "0123456789abcdef";
    if (wanted == 'x') return kDigits.find(one) != std::string_view::npos;
    if (wanted == 'd') return kDigits.substr(0, 10).find(one) != std::string_view::npos;
    if (wanted == 'v') return kDigits.substr(8, 4).find(one) != std::string_view::npos;
    return one == wanted;
  };
  return std::equal(text.begin(), text.end(), pattern.begin(), pattern.end(), fits);
}

}  // namespace

TEST_CASE("a piece comes back from the log with all that was kept", "[records]") {
  const TemporaryFolder folder;
  const auto file = app::log_file(folder.path / "station.toml");
  {
    app::PieceLog log(file);
    log.keep(piece(1));
    REQUIRE(log.flush(10.0));
    CHECK(log.waiting() == 0);
    CHECK(log.trouble().empty());
  }
  const app::PieceLog log(file);
  const auto all = log.newest(10);
  REQUIRE(all.size() == 1);
  // A UUID as RFC 9562 writes it: version 7, variant 10.
  CHECK(is_like(all[0].id, "xxxxxxxx-xxxx-7xxx-vxxx-xxxxxxxxxxxx"));
  app::PieceRecord expected = piece(1);
  expected.id = all[0].id;
  CHECK(app::piece_json(all[0]) == app::piece_json(expected));
  CHECK(all[0].piece.notice == app::CycleNotice::cloth_slipped);
  CHECK_THAT(all[0].piece.reading.offset_x_mm, WithinAbs(-1.0 / 3.0, 0.0));
  CHECK_THAT(all[0].piece.phase_s[app::kPhaseCount - 1], WithinAbs(0.5 + app::kPhaseCount, 0.0));
}

// Guarantees: what was kept later sorts later, on every station. Example failure: two inspections of one second, and
// another one counts on the next station. By hand: 0x017F22E279B0 ms is 2022-02-22T19:22:22Z, the RFC's own example.
TEST_CASE("a later record's name sorts behind an earlier one's", "[records]") {
  app::RecordIds ids;
  constexpr std::uint64_t kExample_ms = 0x017F22E279B0;
  std::string last = ids.next(kExample_ms);
  CHECK(is_like(last, "017f22e2-79b0-7xxx-vxxx-xxxxxxxxxxxx"));
  // More than a millisecond has room for, then the clock put back, then on.
  for (int i = 0; i < 10000; ++i) {
    const std::string id = ids.next(i < 9000 ? kExample_ms : kExample_ms - 5000);
    REQUIRE(id > last);
    last = id;
  }
  CHECK(ids.next(kExample_ms + 1000).starts_with("017f22e2-7d98-7"));
  const std::string first = app::new_record_id();
  CHECK(first < app::new_record_id());
}

TEST_CASE("a piece without a time gets one that sorts as text", "[records]") {
  const TemporaryFolder folder;
  app::PieceLog log(folder.path / "pieces.sqlite");
  app::PieceRecord one = piece(1);
  one.time_utc.clear();
  log.keep(one);
  CHECK(is_like(log.newest(1).at(0).time_utc, "20dd-dd-ddTdd:dd:ddZ"));
}

TEST_CASE("the newest pieces come first, and counts are by time and operator", "[records]") {
  const TemporaryFolder folder;
  app::PieceLog log(folder.path / "pieces.sqlite");
  log.keep(piece(3, "Ada"));
  log.keep(piece(1, "Ada"));  // the clock was put back
  log.keep(piece(2, "Ben"));
  CHECK(numbers(log.newest(10)) == Numbers{2, 1, 3});
  REQUIRE(log.flush(10.0));
  CHECK(numbers(log.newest(10)) == Numbers{2, 1, 3});
  CHECK(numbers(log.newest(2)) == Numbers{2, 1});
  CHECK(log.count_since("2026-01-31T12:00:12Z", "") == 2);
  CHECK(log.count_since("2026-01-31T12:00:12Z", "Ada") == 1);
  CHECK(log.count_since("2026-02-01", "") == 0);
  log.keep(piece(4, "Ada"));
  CHECK(log.count_since("2026-01-31", "Ada") == 3);
}

// Guarantees: "12 of 40 done" is right however many pieces of other jobs came since. Example failure: only the newest
// 5000 pieces were looked at, and a long order began to count backwards.
TEST_CASE("the pieces of a job are counted however old they are, and wherever they wait", "[records]") {
  const TemporaryFolder folder;
  const auto file = folder.path / "pieces.sqlite";
  const auto of_job = [](int number, const std::string& job) {
    app::PieceRecord one = piece(number);
    one.id = job + std::to_string(number);
    one.job = job;
    return one;
  };
  std::vector<app::PieceRecord> many;
  for (int i = 0; i < 7; ++i) many.push_back(of_job(i, "Polo"));
  for (int i = 0; i < 5200; ++i) many.push_back(of_job(i, "Cap"));
  {
    SQLite::Database database = app::open_to_write(file, 100);
    app::insert(database, {many.begin(), many.end()});
  }
  app::PieceLog log(file);
  log.keep(of_job(3, "Polo"));  // there already: the same piece
  log.keep(of_job(7, "Polo"));
  log.keep(of_job(1, ""));
  REQUIRE(log.merge(10.0));
  CHECK(log.count_of_job("Polo") == 8);
  CHECK(log.count_of_job("Cap") == 5200);
  CHECK(log.count_of_job("") == 1);
  CHECK(log.count_of_job("polo") == 0);
  log.keep(of_job(8, "Polo"));  // counted at once, before it is on disk
  CHECK(log.count_of_job("Polo") == 9);
  REQUIRE(log.flush(10.0));
  CHECK(log.count_of_job("Polo") == 9);
}

TEST_CASE("a line of the journal says the same as its piece, and half a line says nothing", "[records]") {
  app::PieceRecord one = piece(5);
  one.id = "some-id";
  const std::string line = app::piece_json(one);
  CHECK(line.find('\n') == std::string::npos);
  REQUIRE(app::piece_from_json(line));
  CHECK(app::piece_json(*app::piece_from_json(line)) == line);
  for (std::size_t i = 0; i < line.size(); ++i) CHECK_FALSE(app::piece_from_json(line.substr(0, i)));
  CHECK_FALSE(app::piece_from_json("{}"));
}

// Guarantees: whatever a piece holds, it is kept, and no other has to wait for it.
TEST_CASE("values that are no numbers and names that are no text do not cost the piece", "[records]") {
  const TemporaryFolder folder;
  app::PieceLog log(folder.path / "pieces.sqlite");
  app::PieceRecord odd = piece(1, "\xff\xfe");
  odd.piece.reading.rotation_deg = std::nan("");
  odd.piece.reading.u_offset_mm = HUGE_VAL;
  const auto back = app::piece_from_json(app::piece_json(odd));
  REQUIRE(back);
  CHECK(std::isnan(back->piece.reading.rotation_deg));
  log.keep(odd);
  log.keep(piece(2));
  REQUIRE(log.merge(10.0));
  CHECK(numbers(log.newest(5)) == Numbers{2, 1});
  CHECK(std::isnan(log.newest(5).at(1).piece.reading.rotation_deg));
}

TEST_CASE("every notice has a name of its own on disk", "[records]") {
  for (int i = 0; i < app::kCycleNoticeCount; ++i) {
    const auto notice = static_cast<app::CycleNotice>(i);
    CHECK(app::notice_called(app::notice_name(notice)) == notice);
  }
  CHECK_FALSE(app::notice_called("something else"));
}

TEST_CASE("the database is one that survives a power cut, with a column for each field", "[records]") {
  const TemporaryFolder folder;
  const auto file = folder.path / "pieces.sqlite";
  SQLite::Database database = app::open_to_write(file, 100);
  CHECK(database.execAndGet("PRAGMA journal_mode").getString() == "wal");
  CHECK(database.execAndGet("PRAGMA synchronous").getInt() == 2);  // FULL
  CHECK(database.execAndGet("PRAGMA foreign_keys").getInt() == 1);
  CHECK(database.execAndGet("PRAGMA user_version").getInt() == static_cast<int>(app::piece_schema().size()));
  std::string columns = "seq", fields = "seq";
  SQLite::Statement rows(database, "SELECT name FROM pragma_table_info('piece') WHERE name NOT IN ('seq', 'pulled')");
  while (rows.executeStep()) columns += " " + rows.getColumn(0).getString();
  const app::PieceRecord any;
  app::each_field(any, [&](std::string_view name, const auto&) { fields += " " + std::string(name); });
  const auto sorted = [](const std::string& words) {
    std::vector<std::string> list;
    for (std::size_t at = 0, end = 0; end != std::string::npos; at = end + 1) {
      end = words.find(' ', at);
      list.push_back(words.substr(at, end - at));
    }
    std::sort(list.begin(), list.end());
    return list;
  };
  CHECK(sorted(columns) == sorted(fields));
}
