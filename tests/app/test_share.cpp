// Sharing without a server: what is read, refused, said and waited for.
//
// Guarantees: no wait is without end, no password is repeated, and every trouble is said with what to do. Example
// failure: a server that accepts and then says nothing holds up the station's end.
#include <netinet/in.h>
#include <sys/socket.h>
#include <unistd.h>

#include <chrono>
#include <functional>
#include <sstream>

#include "app/commands/records_share.h"
#include "app/share/server.h"
#include "app/share/server_words.h"
#include "app/share/share_lock.h"
#include "app/share/share_state.h"
#include "app/share/share_thread.h"
#include "tests/app/sharing_station.h"
#include "tests/catch.h"
#include "tests/error_of.h"

namespace {

using Kind = app::ShareError::Kind;
using sharing::Station;

std::pair<Kind, std::string> outcome_of(const app::ShareOptions& options) {
  try {
    app::share(options);
  } catch (const app::ShareError& error) {
    return {error.kind(), error.what()};
  }
  return {Kind::stopped, "shared"};
}

double seconds_of(const std::function<void()>& work) {
  const auto start = std::chrono::steady_clock::now();
  work();
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

// Takes connections on 127.0.0.1 and never says a word.
class SilentServer {
 public:
  SilentServer() : socket_(::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0)) {
    sockaddr_in address{};
    address.sin_family = AF_INET;
    address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    socklen_t size = sizeof address;
    REQUIRE(::bind(socket_, reinterpret_cast<const sockaddr*>(&address), sizeof address) == 0);
    REQUIRE(::listen(socket_, 4) == 0);
    REQUIRE(::getsockname(socket_, reinterpret_cast<sockaddr*>(&address), &size) == 0);
    port_ = ntohs(address.sin_port);
  }
  ~SilentServer() { ::close(socket_); }
  std::string connection() const {
    return "host=127.0.0.1 port=" + std::to_string(port_) + " user=shop dbname=shop sslmode=disable ";
  }

 private:
  int socket_, port_ = 0;
};

}  // namespace

TEST_CASE("a connection string is looked at without repeating it", "[share]") {
  CHECK(app::fault_of_connection("host=shop.example dbname='our hoops' sslmode=verify-full").empty());
  CHECK(app::fault_of_connection("postgresql://till@shop.example/hoops?sslmode=verify-full").empty());
  CHECK(app::fault_of_connection("").empty());
  for (const char* wrong : {"password=Loud Secret9", "pasword=Secret9", "host='Secret9", "postgresql://[Secret9"}) {
    INFO(wrong);
    CHECK_FALSE(app::fault_of_connection(wrong).empty());
    CHECK_FALSE(holds(app::fault_of_connection(wrong), "Secret9"));
  }
  CHECK(app::holds_password("host=x password=y"));
  CHECK(app::holds_password("postgresql://till:y@shop.example/hoops"));
  CHECK_FALSE(app::holds_password("host=x passfile=/y"));
}

TEST_CASE("texts become an array of PostgreSQL", "[share]") {
  CHECK(app::array_text({}) == "{}");
  CHECK(app::array_text({"", "a,b}", "say \"\\n\"", "NULL"}) == R"({"","a,b}","say \"\\n\"","NULL"})");
  CHECK(app::array_text({std::string("a\0b", 3)}) ==
        "{\"a\xEF\xBF\xBD"
        "b\"}");
}

TEST_CASE("the state is found in a message of any language", "[share]") {
  CHECK(app::sql_state_in("FATAL:  28P01: password authentication failed for user \"x\"") == "28P01");
  CHECK(app::sql_state_in("Verbindung: FATAL:  3D000: Datenbank »x« existiert nicht") == "3D000");
  CHECK(app::sql_state_in("connection to server failed:  Connection refused").empty());
  CHECK(app::sql_state_in("").empty());
}

TEST_CASE("a server that is not there is said so, and nothing is lost", "[share]") {
  Station north("North");
  north.work(3);
  const auto before = north.content();
  const TemporaryFolder empty;
  const auto [kind, words] = outcome_of(north.options("host=" + empty.path.string() + " user=shop dbname=hoops"));
  CHECK((kind == Kind::not_reached));
  CHECK(holds(words, "hoops on " + empty.path.string()));
  CHECK(holds(words, "is not reached: is it on"));
  CHECK(north.content() == before);
  CHECK((outcome_of(north.options("host=x pasword=y")).first == Kind::other));
}

TEST_CASE("a server that says nothing is given up in time, and at once when that is wished", "[share]") {
  const SilentServer server;
  const Station north("North");
  app::ShareOptions options = north.options(server.connection() + "connect_timeout=2");
  const double waited = seconds_of([&] { CHECK((outcome_of(options).first == Kind::not_reached)); });
  CHECK(waited > 1.5);
  CHECK(waited < 8.0);
  options.settings.connection = server.connection() + "connect_timeout=60";
  const auto start = std::chrono::steady_clock::now();
  options.stopped = [&] { return std::chrono::steady_clock::now() - start > std::chrono::milliseconds(300); };
  CHECK(seconds_of([&] { CHECK((outcome_of(options).first == Kind::stopped)); }) < 5.0);
}

TEST_CASE("one program at a time shares a station's records", "[share]") {
  const Station north("North");
  {
    const app::ShareLock lock(north.file());
    CHECK((outcome_of(north.options("host=/nowhere")).first == Kind::busy));
  }
  CHECK((outcome_of(north.options("host=/nowhere")).first == Kind::not_reached));
}

// Guarantees: how far a station shared stays with the server it shared with. Example failure: another server gets only
// what is new since the last one.
TEST_CASE("how far a station shared", "[share]") {
  Station north("North");
  north.work(10);
  auto database = north.database();
  app::ShareState first(database, "first");
  CHECK_FALSE(first.known());
  first.begin_anew();
  CHECK(first.known());
  CHECK(first.whole("piece") == 10);
  first.set_pushed("piece", 7);
  first.set_pulled(12);
  first.set_seen(12, "p-North-3");
  first.set_seen(11, "p-North-2");  // an earlier one says less
  CHECK(first.seen()->arrived == 12);
  CHECK(first.seen()->mark == app::ShareState::mark_of("p-North-3"));
  first.set_shared(1700000000);
  CHECK(app::last_shared_s(database) == 1700000000);
  app::ShareState second(database, "second");
  CHECK(second.pushed("piece") == 0);
  second.begin_anew();
  CHECK_FALSE(first.known());
}

TEST_CASE("a row from the server is kept wholly or not at all", "[share]") {
  Station north("North"), south("South");
  north.work(1);
  auto from = north.database(), to = south.database();
  const std::string body = app::next_outgoing(from, "piece", 0, 0, 1).bodies.at(0);
  using Kept = app::Incoming::Kept;
  app::Incoming incoming(to);
  CHECK((incoming.add("piece", body.substr(0, body.size() - 2)) == Kept::unknown));
  CHECK((incoming.add("piece", "[]") == Kept::unknown));
  CHECK((incoming.add("inspection", body) == Kept::unknown));
  CHECK((incoming.add("piece", body.substr(0, body.size() - 1) + ",\"needle\":75}") == Kept::unknown));
  CHECK(south.count("piece") == 0);
  CHECK((incoming.add("piece", body) == Kept::added));
  CHECK((incoming.add("piece", body) == Kept::there));
  CHECK(south.count("piece WHERE pulled = 1") == 1);
}

// Guarantees: all stations show one pseudonym. Example failure: two stations take a name out before they hear of each
// other, and each keeps its own.
TEST_CASE("the server's pseudonym takes the place of this station's own", "[share]") {
  Station north("North");
  north.work(4);
  REQUIRE(north.anonymise("Operator 2"));
  auto database = north.database();
  app::Incoming incoming(database);
  const std::string body = R"({"id":"e-1","time_utc":"2026-02-01T00:00:00Z","record":"p-North-2","field":"operator",)"
                           R"("pseudonym":"Operator ZZZZ"})";
  CHECK((incoming.add("erasure", body) == app::Incoming::Kept::added));
  CHECK((incoming.add("erasure", body) == app::Incoming::Kept::there));
  CHECK(north.count("piece WHERE id = 'p-North-2' AND operator = 'Operator ZZZZ'") == 1);
  CHECK(north.count("erasure WHERE record = 'p-North-2'") == 1);
}

TEST_CASE("the screen says in a line how sharing stands", "[share]") {
  constexpr std::int64_t kNow = 1770000000, kHour = 3600, kDay = 24 * kHour;
  const auto words = [&](std::optional<std::int64_t> ago_s, std::optional<Kind> trouble = std::nullopt) {
    app::ShareNews news;
    if (ago_s) news.shared_s = kNow - *ago_s;
    news.trouble = trouble;
    return app::share_words(news, kNow);
  };
  CHECK(words({}) == "Not shared with the shop yet");
  CHECK(words(5) == "Shared with the shop just now");
  CHECK(words(12 * 60) == "Shared with the shop 12 min ago");
  CHECK(words(3 * kDay) == "Shared with the shop 3 days ago");
  CHECK(words({}, Kind::not_reached) == "The shop's server is not reached; nothing is lost.");
  CHECK(words(5 * kHour, Kind::not_reached) ==
        "The shop's server is not reached; last shared 5 h ago. Nothing is lost.");
  const std::string since = words(3 * kDay, Kind::not_reached);
  CHECK(since.starts_with("The shop's server is not reached since "));
  CHECK(since.ends_with("day; nothing is lost."));
  CHECK(words(30 * kDay, Kind::not_reached) ==
        "The shop's server is not reached; last shared 30 days ago. Nothing is lost.");
  CHECK(holds(words(5, Kind::newer), "update this station"));
  app::ShareNews busy;
  busy.sharing = true;
  CHECK(app::share_words(busy, kNow) == "Sharing with the shop now");
}

TEST_CASE("a station that ends does not wait for its sharing", "[share]") {
  const TemporaryFolder folder;
  const auto file = folder.put("station.toml", "[share]\nconnection = \"host=/nowhere\"\nstation = \"North\"\n");
  CHECK(seconds_of([&] {
          const app::ShareThread thread(file, 15);
          CHECK(thread.words() == "Not shared with the shop yet");
        }) < 2.0);
}

TEST_CASE("the command refuses a station file that cannot share", "[share]") {
  const TemporaryFolder folder;
  const auto said = [&](const std::string& text) {
    std::ostringstream out, err;
    CHECK(app::run_records_share({folder.put("station.toml", text), false}, out, err) == 2);
    return err.str();
  };
  CHECK(holds(said(""), "station.toml: there is no [share]; add one such as"));
  const std::string wrong = said("[share]\nstation = \"North\"\nconnection = \"password=Loud Secret9\"\n");
  CHECK(holds(wrong, "station.toml:3: 'connection': it is no connection string of PostgreSQL"));
  CHECK_FALSE(holds(wrong, "Secret9"));
}
