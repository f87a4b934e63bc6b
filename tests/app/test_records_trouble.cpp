// Pieces kept while their database cannot be written: none lost, none doubled, and the operator is told.
#include <SQLiteCpp/SQLiteCpp.h>
#include <sys/resource.h>

#include <algorithm>
#include <chrono>
#include <csignal>
#include <numeric>
#include <optional>
#include <thread>

#include "app/records/piece_log.h"
#include "tests/app/sample_piece.h"
#include "tests/catch.h"
#include "tests/error_of.h"
#include "tests/temporary_folder.h"

using sample::numbers;
using sample::piece;
using Numbers = std::vector<int>;

namespace {

namespace fs = std::filesystem;

// No patience, and no second try unless asked for.
constexpr app::PieceLogOptions kCurt{5000, 1, 3600.0, 3600.0};

Numbers down_from(int last) {
  Numbers out(static_cast<std::size_t>(last));
  std::iota(out.rbegin(), out.rend(), 1);
  return out;
}

// What the database alone has.
int rows(const fs::path& file) {
  SQLite::Database database(file.string(), SQLite::OPEN_READONLY);
  return database.execAndGet("SELECT count(*) FROM piece").getInt();
}

struct Shop {
  TemporaryFolder folder;
  fs::path file = folder.path / "pieces.sqlite";
  fs::path journal = folder.path / "pieces.sqlite.journal";

  std::string journal_text() const { return TemporaryFolder::content(journal); }
};

// While it lives nothing of this process can write a file behind so many bytes, as on a full disk.
class TinyFiles {
 public:
  explicit TinyFiles(rlim_t bytes) {
    handler_ = std::signal(SIGXFSZ, SIG_IGN);
    ::getrlimit(RLIMIT_FSIZE, &old_);
    const rlimit tiny{bytes, old_.rlim_max};
    ::setrlimit(RLIMIT_FSIZE, &tiny);
  }
  ~TinyFiles() {
    ::setrlimit(RLIMIT_FSIZE, &old_);
    std::signal(SIGXFSZ, handler_);
  }
  TinyFiles(const TinyFiles&) = delete;
  TinyFiles& operator=(const TinyFiles&) = delete;

 private:
  rlimit old_{};
  void (*handler_)(int) = nullptr;
};

}  // namespace

TEST_CASE("while another program holds the database pieces wait in the journal", "[records][trouble]") {
  Shop shop;
  app::PieceLog log(shop.file, kCurt);
  log.keep(piece(1));
  REQUIRE(log.merge(10.0));
  SQLite::Database other(shop.file.string(), SQLite::OPEN_READWRITE);
  other.exec("BEGIN EXCLUSIVE");
  log.keep(piece(2));
  log.keep(piece(3));
  REQUIRE(log.flush(10.0));  // on disk
  CHECK_FALSE(log.merge(10.0));
  CHECK(log.trouble() ==
        "Another program holds the record of pieces: pieces.sqlite. Close that program. "
        "Until then pieces are kept in a file beside it; none is lost.");
  CHECK(numbers(log.newest(10)) == down_from(3));
  CHECK(log.count_since("2026", "") == 3);
  CHECK(rows(shop.file) == 1);
  other.exec("ROLLBACK");
  CHECK(log.merge(10.0));
  CHECK(log.trouble().empty());
  CHECK(shop.journal_text().empty());
  CHECK(rows(shop.file) == 3);
  CHECK(numbers(log.newest(10)) == down_from(3));
  CHECK(log.count_since("2026", "") == 3);
}

TEST_CASE("the trouble's end is noticed without being asked for", "[records][trouble]") {
  Shop shop;
  app::PieceLog log(shop.file, {5000, 1, 0.001, 0.01});
  REQUIRE(log.merge(10.0));
  std::optional<SQLite::Database> other(std::in_place, shop.file.string(), SQLite::OPEN_READWRITE);
  other->exec("BEGIN EXCLUSIVE");
  log.keep(piece(1));
  REQUIRE(log.flush(10.0));
  CHECK(rows(shop.file) == 0);
  other.reset();
  for (int i = 0; i < 10000 && !log.trouble().empty(); ++i) std::this_thread::sleep_for(std::chrono::milliseconds(1));
  CHECK(log.trouble().empty());
  CHECK(rows(shop.file) == 1);
}

TEST_CASE("pieces of an earlier run that only the journal has are merged", "[records][trouble]") {
  Shop shop;
  // A folder in the database's place.
  fs::create_directories(shop.file / "in the way");
  {
    app::PieceLog log(shop.file, kCurt);
    CHECK(holds(log.trouble(), "The record of pieces cannot be written: pieces.sqlite. Check the permissions"));
    log.keep(piece(1));
    log.keep(piece(2));
    REQUIRE(log.flush(10.0));
  }
  {
    app::PieceLog log(shop.file, kCurt);
    CHECK(numbers(log.newest(10)) == down_from(2));
    log.keep(piece(3));
    REQUIRE(log.flush(10.0));
    CHECK(numbers(log.newest(2)) == Numbers{3, 2});
  }
  fs::remove_all(shop.file);
  const std::string lines = shop.journal_text();
  {
    app::PieceLog log(shop.file, kCurt);
    CHECK(log.merge(10.0));
    CHECK(numbers(log.newest(10)) == down_from(3));
  }
  CHECK(rows(shop.file) == 3);
  // Merged, and cut short before the journal was cleared: once more does no harm.
  shop.folder.put("pieces.sqlite.journal", lines);
  app::PieceLog log(shop.file, kCurt);
  CHECK(log.merge(10.0));
  CHECK(rows(shop.file) == 3);
}

TEST_CASE("a line that was cut short is dropped, one that cannot be read is put aside", "[records][trouble]") {
  Shop shop;
  fs::create_directories(shop.file / "in the way");
  {
    app::PieceLog log(shop.file, kCurt);
    log.keep(piece(1));
    REQUIRE(log.flush(10.0));
  }
  const std::string line = shop.journal_text();
  shop.folder.put("pieces.sqlite.journal", line + "what is this?\n" + line.substr(0, line.size() / 2));
  {
    app::PieceLog log(shop.file, kCurt);
    log.keep(piece(2));
    REQUIRE(log.flush(10.0));
    CHECK(numbers(log.newest(10)) == down_from(2));
  }
  fs::remove_all(shop.file);
  app::PieceLog log(shop.file, kCurt);
  CHECK(log.merge(10.0));
  CHECK(rows(shop.file) == 2);
  CHECK(shop.journal_text().empty());
  std::string aside;
  for (const auto& entry : fs::directory_iterator(shop.folder.path))
    if (holds(entry.path().filename(), ".journal.unread-")) aside = TemporaryFolder::content(entry.path());
  CHECK(holds(aside, "what is this?\n"));
}

TEST_CASE("a full journal says that pieces are in memory only", "[records][trouble]") {
  Shop shop;
  fs::create_directories(shop.file / "in the way");
  app::PieceLog log(shop.file, {2, 1, 3600.0, 3600.0});
  for (int i = 1; i <= 4; ++i) log.keep(piece(i));
  CHECK_FALSE(log.flush(0.2));
  CHECK(log.waiting() == 2);
  CHECK(holds(log.trouble(), "The file beside it is full too: 2 pieces are in memory only. Do not switch off."));
  CHECK(numbers(log.newest(10)) == down_from(4));
  fs::remove_all(shop.file);
  CHECK(log.merge(10.0));
  CHECK(log.waiting() == 0);
  CHECK(rows(shop.file) == 4);
}

TEST_CASE("where nothing can be written pieces stay in memory, and that is said", "[records][trouble]") {
  Shop shop;
  const fs::path station = shop.folder.put("station", "a file in the folder's place");
  app::PieceLog log(station / "pieces.sqlite", kCurt);
  log.keep(piece(1));
  CHECK_FALSE(log.flush(0.2));
  CHECK(holds(log.trouble(), "The file beside it cannot be written either: 1 piece is in memory only."));
  CHECK(numbers(log.newest(10)) == down_from(1));
  CHECK(log.count_since("2026", "") == 1);
  fs::remove(station);
  CHECK(log.merge(10.0));
  CHECK(log.trouble().empty());
  CHECK(rows(station / "pieces.sqlite") == 1);
}

// Guarantees: of a disk that fills up, first the journal's reserve is used, then memory; in the end all are kept in
// their order.
TEST_CASE("a disk that fills up loses nothing", "[records][trouble]") {
  Shop shop;
  constexpr int kPieces = 300;
  int others = 0;  // an inspection and a correction each
  app::PieceLog log(shop.file, kCurt);
  {
    const TinyFiles full(160 * 1024);
    const auto nothing_left = [&] { return holds(log.trouble(), "memory only"); };
    for (int i = 1; i <= kPieces && !nothing_left(); ++i) {
      log.keep(piece(i));
      if (i % 5 == 0) {
        log.keep(sample::inspection("i" + std::to_string(i), "p", "2026-02-01T08:00:00Z"));
        log.keep(app::Correction{"c" + std::to_string(i), "p", "2026-02-01T09:00:00Z", "", "job", "Cap", ""});
        ++others;
      }
      while (!log.flush(0.02) && !nothing_left()) {
      }
    }
    CHECK(holds(log.trouble(), "pieces.sqlite"));
    CHECK(rows(shop.file) > 0);
    CHECK(shop.journal_text().size() > 10000);
    CHECK(shop.journal_text().ends_with('\n'));
    CHECK(log.waiting() > 0);
  }
  const auto before = numbers(log.newest(kPieces));
  CHECK(before == down_from(static_cast<int>(before.size())));
  CHECK(log.merge(10.0));
  CHECK(numbers(log.newest(kPieces)) == before);
  CHECK(rows(shop.file) == static_cast<int>(before.size()));
  CHECK(log.trouble().empty());
  SQLite::Database database(shop.file.string(), SQLite::OPEN_READONLY);
  CHECK(others > 10);
  CHECK(database.execAndGet("SELECT count(*) FROM inspection").getInt() == others);
  CHECK(database.execAndGet("SELECT count(*) FROM correction").getInt() == others);
}

// Guarantees: a damaged database is never written to nor deleted, and replaced only when the operator was told.
TEST_CASE("a damaged database is put aside once that stands on the screen", "[records][trouble]") {
  Shop shop;
  const bool header = GENERATE(true, false);
  CAPTURE(header);
  {
    app::PieceLog log(shop.file, kCurt);
    for (int i = 1; i <= 40; ++i) log.keep(piece(i));
    REQUIRE(log.merge(10.0));
  }
  std::string bytes = TemporaryFolder::content(shop.file);
  REQUIRE(bytes.size() > 16384);
  // A database's header is its first 100 bytes, its second page the table's root.
  if (header)
    bytes.replace(0, 100, std::string(100, 'x'));
  else
    bytes.replace(4096, 4096, std::string(4096, '\xa5'));
  shop.folder.put("pieces.sqlite", bytes);

  app::PieceLog log(shop.file, kCurt);
  log.keep(piece(41));
  REQUIRE(log.flush(10.0));
  CHECK_FALSE(log.merge(10.0));
  CHECK(holds(log.trouble(), "The record of pieces is damaged: pieces.sqlite. It is put aside, not deleted"));
  CHECK(TemporaryFolder::content(shop.file) == bytes);
  CHECK(log.put_aside().empty());
  CHECK(numbers(log.newest(10)) == Numbers{41});

  log.trouble_shown();
  CHECK(log.merge(10.0));
  CHECK(log.trouble().empty());
  REQUIRE(log.put_aside().size() == 1);
  CHECK(TemporaryFolder::content(log.put_aside()[0]) == bytes);
  CHECK(rows(shop.file) == 1);
  CHECK(numbers(log.newest(10)) == Numbers{41});
}

TEST_CASE("a database of a newer program is left alone", "[records][trouble]") {
  Shop shop;
  {
    app::PieceLog log(shop.file, kCurt);
    REQUIRE(log.merge(10.0));
  }
  {
    SQLite::Database other(shop.file.string(), SQLite::OPEN_READWRITE);
    other.exec("PRAGMA user_version = 99");
  }
  app::PieceLog log(shop.file, kCurt);
  log.keep(piece(1));
  REQUIRE(log.flush(10.0));
  CHECK(holds(log.trouble(), "A newer version of this program wrote the record of pieces: pieces.sqlite."));
  CHECK(numbers(log.newest(10)) == down_from(1));
  CHECK(rows(shop.file) == 0);
}

TEST_CASE("files that are taken away while the station runs are made again", "[records][trouble]") {
  Shop shop;
  app::PieceLog log(shop.file, kCurt);
  log.keep(piece(1));
  REQUIRE(log.merge(10.0));
  for (const char* part : {"", "-wal", "-shm"}) fs::remove(shop.file.string() + part);
  log.keep(piece(2));
  REQUIRE(log.merge(10.0));
  CHECK(rows(shop.file) == 1);
  CHECK(numbers(log.newest(10)) == Numbers{2});
}

TEST_CASE("a journal that is taken away is written again", "[records][trouble]") {
  Shop shop;
  fs::create_directories(shop.file / "in the way");
  app::PieceLog log(shop.file, kCurt);
  log.keep(piece(1));
  REQUIRE(log.flush(10.0));
  fs::remove(shop.journal);
  log.keep(piece(2));
  REQUIRE(log.flush(10.0));
  const std::string lines = shop.journal_text();
  CHECK(std::count(lines.begin(), lines.end(), '\n') == 2);
  CHECK(numbers(log.newest(10)) == down_from(2));
}
