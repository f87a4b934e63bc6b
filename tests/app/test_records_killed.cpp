// The program killed at any moment while it keeps pieces.
//
// Guarantees: what was said to be on the disk, a piece, an inspection or a correction, is there afterwards, exactly
// once. Example failure: the program
// dies between the database's commit and the journal's clearing, and its pieces are counted twice. A kill leaves the
// kernel's memory alone: this does not show what a power cut does, which is the disk's and SQLite's matter.
#include <SQLiteCpp/SQLiteCpp.h>
#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <optional>
#include <random>
#include <set>
#include <sstream>
#include <thread>

#include "app/records/piece_log.h"
#include "tests/app/sample_piece.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

namespace {

constexpr app::PieceLogOptions kHasty{5000, 1, 0.001, 0.002};

// Of three kinds in turn.
void keep_next(app::PieceLog& log, int i, const std::string& id) {
  if (i % 4 == 2) return log.keep(sample::inspection(id, "p", "2026-02-01T08:00:00Z"));
  if (i % 4 == 3) return log.keep(app::Correction{id, "p", "2026-02-01T09:00:00Z", "", "job", "Cap", ""});
  app::PieceRecord one = sample::piece(i);
  one.id = id;
  log.keep(std::move(one));
}

// In the child, until it is killed: keeps records and names those that are on the disk. Waits for a word first: an
// SQLite connection must not live across a fork.
[[noreturn]] void keep_pieces(const std::filesystem::path& file, int round, int go, int said) {
  char word = 0;
  if (::read(go, &word, 1) != 1) ::_exit(1);
  app::PieceLog log(file, kHasty);
  std::string names;
  for (int i = 0;; ++i) {
    const std::string id = std::to_string(round) + "-" + std::to_string(i);
    names += id + "\n";
    keep_next(log, i, id);
    if (i % 3 == 0 || !log.flush(10.0)) continue;  // sometimes two at once
    if (::write(said, names.data(), names.size()) != static_cast<ssize_t>(names.size())) ::_exit(1);
    names.clear();
  }
}

struct Pipe {
  Pipe() { REQUIRE(::pipe2(ends, O_CLOEXEC) == 0); }
  ~Pipe() {
    close_end(0);
    close_end(1);
  }
  void close_end(int which) {
    if (ends[which] >= 0) ::close(ends[which]);
    ends[which] = -1;
  }
  int ends[2] = {-1, -1};
};

// One child: what it said to be on the disk before it died.
class Round {
 public:
  Round(const std::filesystem::path& file, int number) {
    child_ = ::fork();
    REQUIRE(child_ >= 0);
    if (child_ == 0) keep_pieces(file, number, go_.ends[0], said_.ends[1]);
    said_.close_end(1);
  }
  void start() const { REQUIRE(::write(go_.ends[1], "g", 1) == 1); }
  void read_some() {
    char buffer[4096];
    const ssize_t count = ::read(said_.ends[0], buffer, sizeof buffer);
    REQUIRE(count > 0);
    text_.append(buffer, static_cast<std::size_t>(count));
  }
  void kill() {
    ::kill(child_, SIGKILL);
    int status = 0;
    REQUIRE(::waitpid(child_, &status, 0) == child_);
    CHECK(WIFSIGNALED(status));
    char buffer[4096];
    for (ssize_t count = 0; (count = ::read(said_.ends[0], buffer, sizeof buffer)) > 0;)
      text_.append(buffer, static_cast<std::size_t>(count));
  }
  // Whole lines only.
  std::vector<std::string> kept() const {
    std::vector<std::string> out;
    std::istringstream in(text_.substr(0, text_.rfind('\n') + 1));
    for (std::string line; std::getline(in, line);) out.push_back(line);
    return out;
  }

 private:
  Pipe go_, said_;
  pid_t child_ = -1;
  std::string text_;
};

void kill_again_and_again(int rounds, unsigned seed) {
  const TemporaryFolder folder;
  const auto file = folder.path / "pieces.sqlite";
  { app::PieceLog log(file, kHasty); }
  std::mt19937 random(seed);
  const auto up_to = [&](int most) { return static_cast<int>(random() % static_cast<unsigned>(most + 1)); };
  std::set<std::string> acknowledged;
  for (int number = 0; number < rounds; ++number) {
    Round round(file, number);
    // A third each: no trouble, the journal alone, and the journal merged while pieces come.
    std::optional<SQLite::Database> other;
    if (number % 3 != 0) {
      other.emplace(file.string(), SQLite::OPEN_READWRITE, 10000);
      other->exec("BEGIN EXCLUSIVE");
    }
    round.start();
    for (int i = up_to(6); i > 0; --i) round.read_some();
    if (number % 3 == 2) other.reset();
    for (int i = up_to(4); i > 0; --i) round.read_some();
    std::this_thread::sleep_for(std::chrono::microseconds(up_to(3000)));
    round.kill();
    for (const std::string& id : round.kept()) acknowledged.insert(id);
  }
  app::PieceLog log(file, kHasty);
  REQUIRE(log.merge(20.0));
  SQLite::Database database(file.string(), SQLite::OPEN_READONLY);
  CHECK(database.execAndGet("PRAGMA integrity_check").getString() == "ok");
  std::set<std::string> found;
  SQLite::Statement rows(
      database, "SELECT id FROM piece UNION ALL SELECT id FROM inspection UNION ALL SELECT id FROM correction");
  int count = 0;
  for (; rows.executeStep(); ++count) found.insert(rows.getColumn(0).getString());
  CHECK(count == static_cast<int>(found.size()));
  int lost = 0;
  for (const std::string& id : acknowledged) lost += found.contains(id) ? 0 : 1;
  INFO(acknowledged.size() << " acknowledged, " << found.size() << " found");
  CHECK(lost == 0);
  CHECK(acknowledged.size() > static_cast<std::size_t>(rounds));
}

}  // namespace

TEST_CASE("killed at any moment, nothing acknowledged is lost or doubled", "[records][killed]") {
  kill_again_and_again(24, 5);
}

TEST_CASE("killed a thousand times", "[accuracy][records-killed-thousand]") { kill_again_and_again(1000, 6); }
