// Stations that share through a real PostgreSQL server, which the test starts.
//
// Guarantees: whatever breaks and whenever, at the end every station and the server hold the same rows, each once.
// Example failure: a row that is committed late gets a number below those that another station has pulled already, and
// never comes to it.
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <mutex>
#include <random>
#include <thread>

#include "app/share/share_state.h"
#include "tests/app/postgres_server.h"
#include "tests/app/sharing_station.h"
#include "tests/catch.h"
#include "tests/error_of.h"

namespace {

using postgres::Relay;
using postgres::TestServer;
using sharing::Station;

using Kind = app::ShareError::Kind;

std::pair<Kind, std::string> error_of_share(const Station& station, const std::string& connection) {
  try {
    station.share(connection);
  } catch (const app::ShareError& error) {
    return {error.kind(), error.what()};
  }
  return {Kind::stopped, "no error"};
}

// One more station, which has only what the server gives it.
std::vector<std::string> content_of(const TestServer& server) {
  const Station reader("Reader");
  reader.share(server.connection());
  return reader.content();
}

void all_the_same(const TestServer& server, const std::vector<const Station*>& stations) {
  const auto there = content_of(server);
  CHECK(static_cast<long long>(there.size()) == server.number("SELECT count(*) FROM hoopgauge.entry"));
  for (const Station* one : stations) {
    INFO(one->name());
    CHECK(one->content() == there);  // ids among it: none is lost or doubled
  }
}

// Ends connections of stations on the server's side, now and then.
class Terminator {
 public:
  Terminator(const TestServer& server, unsigned seed)
      : thread_([this, &server, random = std::mt19937(seed)]() mutable {
          while (!end_) {
            std::this_thread::sleep_for(std::chrono::milliseconds(50 + random() % 300));
            ended_ += static_cast<int>(server.number(
                "SELECT count(pg_terminate_backend(pid)) FROM pg_stat_activity WHERE application_name LIKE "
                "'hoopgauge %' AND application_name <> 'hoopgauge test' AND random() < 0.3"));
          }
        }) {}
  ~Terminator() { stop(); }
  void stop() {
    end_ = true;
    if (thread_.joinable()) thread_.join();
  }
  int ended() const { return ended_; }

 private:
  std::atomic<bool> end_{false};
  std::atomic<int> ended_{0};
  std::thread thread_;
};

struct Shop {
  Station north{"North"}, south{"South"}, attic{"Attic"};
  std::vector<const Station*> all{&north, &south, &attic};
};

// A share over a line that may be cut after some bytes. Whether it came to its end.
bool share_over(Relay& relay, const Station& station, std::mt19937& random, long rows) {
  const auto up_to = [&](long most) { return static_cast<long>(random() % static_cast<unsigned long>(most)); };
  constexpr long kBytesOfRow = 1300, kBytesOfConnecting = 3000;
  long there = -1, back = -1;
  switch (up_to(6)) {
    case 0:
      break;  // not cut here
    case 1:
      there = up_to(kBytesOfConnecting);
      break;
    case 2:
      back = up_to(kBytesOfConnecting);
      break;
    default:
      there = up_to(kBytesOfRow * rows);
      back = up_to(kBytesOfRow * rows);
  }
  relay.cut_after(there, back);
  try {
    station.share(relay.connection());
    return true;
  } catch (const app::ShareError& error) {
    INFO(error.what());
    CHECK((error.kind() == Kind::not_reached));
    return false;
  }
}

void share_by_a_bad_line(int pieces, int rounds, unsigned seed) {
  const TestServer server;
  Relay relay(server);
  Shop shop;
  std::mt19937 random(seed);
  int whole = 0, broken = 0;
  {
    Terminator terminator(server, seed + 1);
    const int share_of_all = pieces / 3 / rounds;
    for (int round = 0; round < rounds; ++round) {
      shop.north.work(share_of_all);
      shop.south.work(share_of_all);
      shop.attic.work(share_of_all);
      // Somebody wants the name out, and says so at two stations that know nothing of each other yet.
      if (round == rounds / 2) CHECK(shop.north.anonymise("Operator 1"));
      if (round == rounds / 2 + 1) shop.south.anonymise("Operator 1");
      for (const Station* one : shop.all) {
        if (one == &shop.attic && round < rounds * 2 / 3) continue;  // offline for long
        share_over(relay, *one, random, 2L * share_of_all) ? ++whole : ++broken;
      }
    }
  }
  INFO(whole << " shares came to their end, " << broken << " were cut");
  CHECK(relay.cuts() > rounds / 4);
  CHECK(broken > rounds / 4);
  CHECK(whole > 0);
  for (int i = 0; i < 2; ++i)
    for (const Station* one : shop.all) one->share(server.connection());
  CHECK(shop.north.count("piece") == 3LL * (pieces / 3 / rounds) * rounds);
  all_the_same(server, shop.all);
  // At rest nothing goes to and fro.
  const app::ShareOutcome again = shop.north.share(server.connection());
  CHECK(again.pushed.total() + again.pulled.total() == 0);
}

}  // namespace

TEST_CASE("three stations on a line that breaks again and again hold the same at the end", "[share][postgres]") {
  share_by_a_bad_line(3000, 10, 11);
}

TEST_CASE("three stations share a hundred thousand pieces on a line that breaks", "[accuracy][share][postgres]") {
  share_by_a_bad_line(100000, 12, 12);
}

// Guarantees: a name that was taken out is gone at every station that had shared its records, and from the server, also
// out of what nobody had shared yet. Example failure: a piece that was pushed late brings the name back.
TEST_CASE("a name taken out at one station goes everywhere", "[share][postgres]") {
  const TestServer server;
  Shop shop;
  for (Station* one : {&shop.north, &shop.south, &shop.attic}) one->work(40);
  for (int i = 0; i < 2; ++i)
    for (const Station* one : shop.all) one->share(server.connection());
  shop.south.work(40);
  shop.attic.work(40);
  CHECK(shop.north.anonymise("Operator 2"));
  shop.attic.share(server.connection());  // brings names that are out already elsewhere
  CHECK(server.number("SELECT count(*) FROM hoopgauge.piece WHERE operator = 'Operator 2'") == 40);
  for (int i = 0; i < 2; ++i)
    for (const Station* one : shop.all) one->share(server.connection());
  CHECK(server.number("SELECT count(*) FROM hoopgauge.entry WHERE body::text LIKE '%\"Operator 2\"%'") == 0);
  for (const Station* one : shop.all) {
    INFO(one->name());
    CHECK(one->count("piece WHERE operator = 'Operator 2'") == 0);
    CHECK(one->count("correction WHERE value = 'Operator 2'") == 0);
  }
  all_the_same(server, shop.all);

  // A record that comes late, from a file that was away: the server does not let the name in again.
  server.ask(
      "SELECT hoopgauge.push(ARRAY['late'], ARRAY['erasure'], ARRAY[3], ARRAY['{\"id\": \"late\", \"time_utc\": "
      "\"2026-02-01T00:00:00Z\", \"record\": \"p-North-40\", \"field\": \"operator\", \"pseudonym\": "
      "\"Operator LATE\"}'])");
  shop.north.work(1);
  shop.north.share(server.connection());
  CHECK(server.ask("SELECT operator FROM hoopgauge.piece WHERE id = 'p-North-40'").text(0, 0) == "Operator LATE");
  CHECK(shop.north.count("piece WHERE id = 'p-North-40' AND operator = 'Operator LATE'") == 1);
}

// Guarantees: stations that share at the same moment miss nothing of each other. Example failure: numbers by a
// sequence, which are seen in another order than they are given.
TEST_CASE("stations that share at once miss nothing", "[share][postgres]") {
  const TestServer server;
  Shop shop;
  std::mutex mutex;
  std::vector<std::string> faults;
  std::vector<std::thread> threads;
  for (Station* one : {&shop.north, &shop.south, &shop.attic})
    threads.emplace_back([&, one] {
      try {
        for (int i = 0; i < 8; ++i) {
          one->work(25);
          app::ShareOptions options = one->options(server.connection());
          options.batch_rows = 10;
          app::share(options);
        }
      } catch (const std::exception& error) {
        const std::scoped_lock lock(mutex);
        faults.emplace_back(error.what());
      }
    });
  for (std::thread& one : threads) one.join();
  CHECK(faults == std::vector<std::string>{});
  for (const Station* one : shop.all) one->share(server.connection());
  CHECK(shop.attic.count("piece") == 600);
  all_the_same(server, shop.all);
}

// Guarantees: the program may die at any moment. Example failure: the mark of what was pushed is written before the
// server has it.
TEST_CASE("killed in the middle of a share, the next one goes on", "[share][postgres][killed]") {
  const TestServer server;
  Shop shop;
  shop.north.work(700);
  shop.south.work(500);
  shop.south.share(server.connection());
  std::mt19937 random(3);
  int killed = 0;
  for (int i = 0; i < 12; ++i) {
    const pid_t child = ::fork();
    REQUIRE(child >= 0);
    if (child == 0) {
      app::ShareOptions options = shop.north.options(server.connection());
      options.batch_rows = 20;
      try {
        app::share(options);
      } catch (...) {
        ::_exit(1);
      }
      ::_exit(0);
    }
    std::this_thread::sleep_for(std::chrono::microseconds(2000 + random() % 60000));
    ::kill(child, SIGKILL);
    int status = 0;
    REQUIRE(::waitpid(child, &status, 0) == child);
    killed += WIFSIGNALED(status) ? 1 : 0;
  }
  CHECK(killed > 0);
  shop.north.share(server.connection());
  shop.south.share(server.connection());
  all_the_same(server, {&shop.north, &shop.south});
}

TEST_CASE("a server from an old backup, or another one, gets everything again", "[share][postgres]") {
  const TestServer server;
  Shop shop;
  for (Station* one : {&shop.north, &shop.south}) one->work(60);
  for (int i = 0; i < 2; ++i)
    for (const Station* one : {&shop.north, &shop.south}) one->share(server.connection());
  const std::string dump = server.folder() + "/old.dump";
  server.run({postgres::program("pg_dump"), "-h", server.folder(), "-U", "shop", "-Fc", "-f", dump, server.database()});
  shop.north.work(200);
  shop.north.share(server.connection());
  shop.south.share(server.connection());
  CHECK(shop.south.count("piece") == 320);
  server.ask("DROP DATABASE " + server.database(), "postgres");
  server.ask("CREATE DATABASE " + server.database(), "postgres");
  server.run({postgres::program("pg_restore"), "-h", server.folder(), "-U", "shop", "-d", server.database(), dump});
  const long long old = server.number("SELECT count(*) FROM hoopgauge.piece");
  CHECK(old == 120);

  SECTION("which only one station finds again, and the other's file is lost") {
    // What north had made comes back through south, which had pulled it.
    const app::ShareOutcome done = shop.south.share(server.connection());
    CHECK(done.began_anew);
    CHECK(done.pushed.pieces == 200);
    all_the_same(server, {&shop.south});
  }
  SECTION("where other rows have the numbers meanwhile") {
    shop.attic.work(400);
    shop.attic.share(server.connection());
    CHECK(shop.north.share(server.connection()).began_anew);
    for (const Station* one : shop.all) one->share(server.connection());
    CHECK(shop.attic.count("piece") == 720);
    all_the_same(server, shop.all);
  }
  SECTION("another server") {
    const TestServer another;
    const std::string other = another.connection();
    CHECK(shop.south.share(other).pushed.pieces == 320);
    CHECK(shop.attic.share(other).pulled.pieces == 320);
    CHECK(shop.attic.content() == shop.south.content());
    CHECK(shop.south.share(server.connection()).began_anew);
  }
}

TEST_CASE("a station's file from an old backup gets its own rows back", "[share][postgres]") {
  const TestServer server;
  Station north("North");
  north.work(30);
  north.share(server.connection());
  Station back("North");
  {
    auto from = north.database();
    from.exec("VACUUM INTO '" + (north.file().parent_path() / "copy").string() + "'");
  }
  north.work(50);
  north.share(server.connection());
  std::filesystem::remove(back.file().string() + "-wal");
  std::filesystem::remove(back.file().string() + "-shm");
  std::filesystem::rename(north.file().parent_path() / "copy", back.file());
  CHECK(back.count("piece") == 30);
  back.share(server.connection());
  CHECK(back.count("piece") == 80);
  CHECK(back.content() == north.content());
}

TEST_CASE("what a newer program keeps on the server is refused by name and left alone", "[share][postgres]") {
  const TestServer server;
  Shop shop;
  shop.north.work(20);
  shop.south.work(20);
  shop.north.share(server.connection());

  SECTION("the whole schema") {
    server.ask("UPDATE hoopgauge.about SET version = 2");
    const auto [kind, words] = error_of_share(shop.south, server.connection());
    CHECK((kind == Kind::newer));
    CHECK(holds(words, "newer version"));
    CHECK(shop.south.count("piece") == 20);
    CHECK(server.number("SELECT count(*) FROM hoopgauge.piece") == 20);
  }
  SECTION("a record with a field that this one does not know") {
    server.ask("UPDATE hoopgauge.entry SET body = body || '{\"needle\": 75}' WHERE id = 'p-North-5'");
    const auto [kind, words] = error_of_share(shop.south, server.connection());
    CHECK((kind == Kind::newer));
    CHECK(holds(words, "bring this station up to date"));
    CHECK(shop.south.count("piece WHERE id = 'p-North-5'") == 0);
    // Brought up to date, it goes on.
    server.ask("UPDATE hoopgauge.entry SET body = body - 'needle' WHERE id = 'p-North-5'");
    shop.south.share(server.connection());
    shop.north.share(server.connection());
    all_the_same(server, {&shop.north, &shop.south});
  }
  SECTION("a word that this one does not know") {
    server.ask("UPDATE hoopgauge.entry SET body = body || '{\"notice\": \"ring_upside_down\"}' WHERE id = 'p-North-5'");
    CHECK((error_of_share(shop.south, server.connection()).first == Kind::newer));
  }
  SECTION("a kind of record") {
    server.ask("UPDATE hoopgauge.entry SET kind = 'wish' WHERE id = 'p-North-5'");
    CHECK((error_of_share(shop.south, server.connection()).first == Kind::newer));
  }
}

TEST_CASE("people can ask the server itself", "[share][postgres]") {
  const TestServer server;
  Station north("North");
  north.work(20);
  north.share(server.connection());
  CHECK(server.number("SELECT count(*) FROM hoopgauge.piece WHERE station = 'North' AND taken") == 20);
  CHECK(server.ask("SELECT offset_x_mm FROM hoopgauge.piece LIMIT 1").text(0, 0) == "-0.3333333333333333");
  CHECK(server.number("SELECT count(*) FROM hoopgauge.piece WHERE left_over_mm IS NULL") == 2);
  CHECK(server.number("SELECT count(*) FROM hoopgauge.inspection WHERE outcome = 'mend' AND offset_y_mm = -0.2") == 4);
}
