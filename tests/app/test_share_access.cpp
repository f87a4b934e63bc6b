// Who may share, and with whom: passwords, rights, certificates, against a real PostgreSQL server.
//
// Guarantees: a refusal says what to do, a password stands in no message, and a server that is not the shop's gets
// nothing. Example failure: sslmode=verify-full is lost on the way, and any server is taken.
#include <netinet/in.h>
#include <sys/socket.h>
#include <unistd.h>

#include <cstdlib>
#include <sstream>

#include "app/commands/records_share.h"
#include "app/share/server_schema.h"
#include "tests/app/postgres_server.h"
#include "tests/app/sharing_station.h"
#include "tests/catch.h"
#include "tests/error_of.h"

namespace {

using postgres::TestServer;
using sharing::Station;
using Kind = app::ShareError::Kind;

std::pair<Kind, std::string> outcome_of(const Station& station, const std::string& connection) {
  try {
    station.share(connection);
  } catch (const app::ShareError& error) {
    return {error.kind(), error.what()};
  }
  return {Kind::stopped, "shared"};
}

class Variable {
 public:
  Variable(const char* name, const std::string& value) : name_(name) { ::setenv(name, value.c_str(), 1); }
  ~Variable() { ::unsetenv(name_); }
  Variable(const Variable&) = delete;
  Variable& operator=(const Variable&) = delete;

 private:
  const char* name_;
};

int free_port() {
  const int one = ::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
  sockaddr_in address{};
  address.sin_family = AF_INET;
  address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  socklen_t size = sizeof address;
  REQUIRE(::bind(one, reinterpret_cast<const sockaddr*>(&address), sizeof address) == 0);
  REQUIRE(::getsockname(one, reinterpret_cast<sockaddr*>(&address), &size) == 0);
  ::close(one);
  return ntohs(address.sin_port);
}

struct Certificate {
  explicit Certificate(const TemporaryFolder& folder, const std::string& name)
      : file((folder.path / (name + ".crt")).string()) {
    const std::string key = (folder.path / (name + ".key")).string();
    const std::string line =
        "openssl req -x509 -newkey ec -pkeyopt ec_paramgen_curve:prime256v1 -nodes -days 2 -subj "
        "/CN=shop.example -addext subjectAltName=DNS:shop.example -keyout " +
        key + " -out " + file + " 2>" + (folder.path / "said").string();
    if (std::system(line.c_str()) != 0) FAIL("openssl made no certificate; install Debian's package openssl");
    content = TemporaryFolder::content(file);
    key_content = TemporaryFolder::content(key);
  }
  std::string file, content, key_content;
};

}  // namespace

TEST_CASE("passwords, users, databases and rights", "[share][postgres]") {
  const TestServer server({{"password_encryption", "scram-sha-256"}}, "local all till scram-sha-256\n");
  server.ask("CREATE ROLE till LOGIN PASSWORD 'Right:Secret7'");
  Station north("North");
  north.work(5);
  const TemporaryFolder home;
  const std::string base = "host=" + server.folder() + " dbname=shop ", user = base + "user=till ";
  const Variable no_file("PGPASSFILE", (home.path / "none").string());

  {
    const auto [kind, words] = outcome_of(north, user + "password=Wrong_Secret8");
    CHECK((kind == Kind::refused));
    CHECK(holds(words, "does not take the password of 'till'"));
    CHECK_FALSE(holds(words, "Wrong_Secret8"));
  }
  {
    const auto [kind, words] = outcome_of(north, user);
    CHECK((kind == Kind::refused));
    CHECK(holds(words, "none was found"));
    CHECK(holds(words, ".pgpass"));
  }
  const auto file = home.put("passwords", "*:*:*:till:Right\\:Secret7\n");
  std::filesystem::permissions(file, std::filesystem::perms::owner_read | std::filesystem::perms::owner_write);
  {
    const auto [kind, words] = outcome_of(north, user + "passfile=" + file.string());
    CHECK((kind == Kind::no_right));
    CHECK(holds(words, "GRANT CREATE ON DATABASE shop"));
  }
  {
    const Variable its_place("PGPASSFILE", file.string());
    CHECK_FALSE(app::check_share(north.options(user)).may_make);
    server.ask("GRANT CREATE ON DATABASE shop TO till");
    CHECK(app::check_share(north.options(user)).may_make);
    CHECK(outcome_of(north, user).second == "shared");
  }
  {
    server.ask("CREATE ROLE guest LOGIN");
    const auto [kind, words] = outcome_of(north, base + "user=guest");
    CHECK((kind == Kind::refused));
    CHECK(holds(words, "pg_hba.conf"));
  }
  {
    const auto [kind, words] = outcome_of(north, "host=" + server.folder() + " user=shop dbname=nowhere");
    CHECK((kind == Kind::refused));
    CHECK(holds(words, "there is no database 'nowhere'"));
  }
  // Everything else by libpq's own environment.
  {
    const Variable host("PGHOST", server.folder()), name("PGUSER", "shop"), database("PGDATABASE", "shop");
    CHECK(outcome_of(north, "connect_timeout=5").second == "shared");
  }
  {
    const auto services = home.put("services", "[shop]\nhost=" + server.folder() + "\nuser=shop\ndbname=shop\n");
    const Variable place("PGSERVICEFILE", services.string());
    CHECK(outcome_of(north, "service=shop").second == "shared");
  }
  // A further user with the rights that the message names.
  server.ask("CREATE ROLE second LOGIN PASSWORD 'x'");
  server.ask("GRANT USAGE ON SCHEMA hoopgauge TO second");
  server.ask("GRANT SELECT, INSERT, UPDATE ON ALL TABLES IN SCHEMA hoopgauge TO second");
  Station south("South");
  south.work(5);
  CHECK(south.share(server.connection() + " options='-c role=second'").pushed.pieces == 5);
}

TEST_CASE("only a server with a trusted certificate is taken by verify-full", "[share][postgres]") {
  const TemporaryFolder folder;
  const Certificate good(folder, "good"), other(folder, "other");
  const int port = free_port();
  const TestServer server({{"ssl", "on"}, {"listen_addresses", "127.0.0.1"}, {"port", std::to_string(port)}},
                          "hostssl all shop 127.0.0.1/32 trust\n",
                          {{"server.crt", good.content}, {"server.key", good.key_content}});
  Station north("North");
  north.work(5);
  const std::string line = "hostaddr=127.0.0.1 port=" + std::to_string(port) + " user=shop dbname=shop ";

  const std::string trusted = line + "host=shop.example sslmode=verify-full sslrootcert=" + good.file;
  const app::ShareCheck check = app::check_share(north.options(trusted));
  CHECK(check.certificate_checked);
  CHECK(check.remote);
  CHECK(check.tls.value_or("").starts_with("TLS"));
  CHECK(outcome_of(north, trusted).second == "shared");

  for (const std::string& not_trusted :
       {line + "host=shop.example sslmode=verify-full sslrootcert=" + other.file,
        line + "host=else.example sslmode=verify-full sslrootcert=" + good.file,
        line + "host=shop.example sslmode=verify-full sslrootcert=" + (folder.path / "none.crt").string()}) {
    INFO(not_trusted);
    const auto [kind, words] = outcome_of(north, not_trusted);
    CHECK((kind == Kind::not_trusted));
    CHECK(holds(words, "certificate"));
  }
  CHECK_FALSE(app::check_share(north.options(line + "sslmode=require")).certificate_checked);
}

TEST_CASE("the command says what it did and what waits", "[share][postgres]") {
  const TestServer server;
  Station north("North");
  north.work(9);
  const auto station_file = north.file().parent_path() / "station.toml";
  std::ofstream(station_file) << "[share]\nconnection = \"" << server.connection()
                              << " password=Loud_Secret9\"\nstation = \"North\"\n";
  const auto run = [&](bool check) {
    std::ostringstream out, err;
    const int code = app::run_records_share({station_file, check}, out, err);
    return std::pair(code, out.str() + "|" + err.str());
  };
  const auto before = run(true);
  CHECK(before.first == 0);
  CHECK(holds(before.second, "No station has shared there yet"));
  CHECK(holds(before.second, "Waiting to be pushed: 9 pieces, 1 inspection, 1 correction."));
  CHECK(server.ask("SELECT to_regclass('hoopgauge.about')").null(0, 0));  // nothing was changed
  const auto shared = run(false);
  CHECK(shared.first == 0);
  CHECK(holds(shared.second, "Shared 'North' with " + server.database() + " on " + server.folder() +
                                 ": pushed 9 pieces, 1 inspection, 1 correction; pulled nothing"));
  CHECK(holds(shared.second, "station.toml:2: 'connection': whoever reads this file has the password"));
  CHECK_FALSE(holds(shared.second, "Loud_Secret9"));
  CHECK(holds(run(true).second, "Waiting to be pushed: nothing.\nWaiting to be pulled: nothing."));

  server.ask("ALTER DATABASE " + server.database() + " WITH ALLOW_CONNECTIONS false", "postgres");
  const auto refused = run(false);
  CHECK(refused.first == 1);
  CHECK(holds(refused.second, "Nothing is lost"));
  CHECK_FALSE(holds(refused.second, "Loud_Secret9"));
}
