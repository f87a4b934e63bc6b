// The log's newest sectors lost, as a power cut may leave them: a disk that wrote a part, or wrote something else.
//
// Guarantees: the database opens all the same, every transaction that ends before the damage is wholly there, and none
// is half there. Example failure: a piece without the correction that was committed with it. What a real disk does
// beyond that, such as losing sectors that it said were synced, no program can mend.
#include <SQLiteCpp/SQLiteCpp.h>

#include <algorithm>
#include <random>
#include <vector>

#include "app/records/piece_table.h"
#include "tests/app/sample_piece.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

namespace {

namespace fs = std::filesystem;

constexpr std::size_t kSector = 512;
constexpr int kTransactions = 40;
constexpr int kRowsEach = 3;

struct Written {
  std::string database, wal;
  std::vector<std::size_t> ends;  // of the WAL, with each transaction
};

// A piece, what came of it, and a correction: one transaction each time, the first already in the database's own file.
Written written() {
  const TemporaryFolder folder;
  const fs::path file = folder.path / "pieces.sqlite";
  SQLite::Database database = app::open_to_write(file, 100);
  database.exec("PRAGMA wal_checkpoint(TRUNCATE)");
  database.exec("PRAGMA wal_autocheckpoint = 0");
  Written out;
  for (int i = 0; i < kTransactions; ++i) {
    const std::string n = std::to_string(i);
    app::PieceRecord piece = sample::piece(i);
    piece.id = "p" + n;
    app::insert(database, {piece, sample::inspection("i" + n, piece.id, "2026-02-01T08:00:00Z"),
                           app::Correction{"c" + n, piece.id, "2026-02-01T09:00:00Z", "", "job", "Cap", ""}});
    out.ends.push_back(fs::file_size(file.string() + "-wal"));
  }
  out.database = TemporaryFolder::content(file);
  out.wal = TemporaryFolder::content(file.string() + "-wal");
  return out;
}

// How many rows of each transaction are there.
std::vector<int> rows_of(SQLite::Database& database) {
  std::vector<int> out(kTransactions, 0);
  SQLite::Statement rows(database,
                         "SELECT id FROM piece UNION ALL SELECT id FROM inspection UNION ALL SELECT id FROM "
                         "correction");
  while (rows.executeStep()) ++out.at(std::stoul(rows.getColumn(0).getString().substr(1)));
  return out;
}

// Whole before `damaged_at`, nothing of any other.
void check_opens(const Written& all, const std::string& wal, std::size_t damaged_at) {
  const TemporaryFolder folder;
  const fs::path file = folder.put("pieces.sqlite", all.database);
  folder.put("pieces.sqlite-wal", wal);
  SQLite::Database database = app::open_to_write(file, 100);
  CHECK(database.execAndGet("PRAGMA quick_check").getString() == "ok");
  std::vector<int> expected;
  for (const std::size_t end : all.ends) expected.push_back(end <= damaged_at ? kRowsEach : 0);
  CHECK(rows_of(database) == expected);
  // And goes on.
  app::insert(database, {app::Correction{"c0-later", "p0", "2026", "", "job", "Cap", ""}});
}

void cut_again_and_again(int cuts, unsigned seed) {
  const Written all = written();
  REQUIRE(all.ends.back() == all.wal.size());
  std::mt19937 random(seed);
  const auto below = [&](std::size_t end) { return static_cast<std::size_t>(random() % end); };
  const std::size_t sectors = all.wal.size() / kSector;
  int lost_some = 0;
  for (int i = 0; i < cuts; ++i) {
    // The last sectors mostly, now and then any.
    const std::size_t back = 1 + below(i % 8 == 7 ? sectors : std::min<std::size_t>(sectors, 120));
    const std::size_t at = (sectors - std::min(back, sectors)) * kSector;
    std::string wal = all.wal;
    const int kind = i % 3;
    CAPTURE(i, kind, at, wal.size());
    if (kind == 0) {
      wal.resize(at);
    } else {
      // One sector, or all to the end: of zeros, or of anything.
      const std::size_t end = kind == 1 ? at + kSector : wal.size();
      if (i % 2 == 0) std::fill(wal.begin() + static_cast<long>(at), wal.begin() + static_cast<long>(end), '\0');
      // A sector that was zeros before is no damage.
      if (wal == all.wal)
        for (std::size_t b = at; b < end; ++b)
          wal[b] = static_cast<char>(static_cast<unsigned char>(wal[b]) ^ (1 + random() % 255));
    }
    const std::size_t damaged_at =
        static_cast<std::size_t>(std::mismatch(wal.begin(), wal.end(), all.wal.begin()).first - wal.begin());
    check_opens(all, wal, damaged_at);
    lost_some += damaged_at < all.wal.size() ? 1 : 0;
  }
  CHECK(lost_some == cuts);
}

}  // namespace

TEST_CASE("with its last sectors lost the log opens, with every transaction before them", "[records][cut]") {
  cut_again_and_again(200, 7);
}

TEST_CASE("nothing is lost of a log whose sectors are all there", "[records][cut]") {
  const Written all = written();
  check_opens(all, all.wal, all.wal.size());
  check_opens(all, "", 0);
}
