#include "app/share/server.h"

#include <libpq-fe.h>
#include <poll.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <cstring>

#include "app/share/server_words.h"

namespace app {
namespace {

using namespace std::chrono_literals;

constexpr auto kStopLookedAt = 100ms;
constexpr auto kConnectLimit = 10s;  // where the connection string says nothing
constexpr auto kAnswerLimit = 90s;   // longer than the server's own limits below
// Against a server that hangs, and against a line that died without a word, on both ends.
constexpr const char* kLimits =
    "SET statement_timeout = '60s'; SET lock_timeout = '30s'; SET idle_in_transaction_session_timeout = '30s'; "
    "SET tcp_keepalives_idle = 30; SET tcp_keepalives_interval = 10; SET tcp_keepalives_count = 3; "
    "SET search_path = pg_catalog; SET client_min_messages = warning";

struct ConnectionOptions {
  explicit ConnectionOptions(PQconninfoOption* list) : list_(list, &PQconninfoFree) {}
  // Empty where it is not said.
  std::string value(const char* name) const {
    for (const PQconninfoOption* one = list_.get(); one != nullptr && one->keyword != nullptr; ++one)
      if (std::strcmp(one->keyword, name) == 0) return one->val != nullptr ? one->val : "";
    return {};
  }
  explicit operator bool() const { return list_ != nullptr; }

 private:
  std::unique_ptr<PQconninfoOption, decltype(&PQconninfoFree)> list_;
};

ConnectionOptions parsed(const std::string& connection) {
  char* said = nullptr;  // libpq's words hold parts of the string, and so of a password
  ConnectionOptions options(PQconninfoParse(connection.c_str(), &said));
  PQfreemem(said);
  return options;
}

void replace_all(std::string& text, const std::string& what, const std::string& with) {
  if (what.empty()) return;
  for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + with.size()))
    text.replace(at, what.size(), with);
}

ConnectStage stage_of(int status) {
  switch (status) {
    case CONNECTION_SSL_STARTUP:
      return ConnectStage::tls;
    case CONNECTION_AWAITING_RESPONSE:
    case CONNECTION_AUTH_OK:
    case CONNECTION_SETENV:
    case CONNECTION_CHECK_WRITABLE:
    case CONNECTION_CONSUME:
    case CONNECTION_CHECK_TARGET:
    case CONNECTION_CHECK_STANDBY:
      return ConnectStage::signing_in;
    default:
      return ConnectStage::reaching;
  }
}

void say_nothing(void*, const PGresult*) {}

}  // namespace

std::string fault_of_connection(const std::string& connection) {
  if (parsed(connection)) return {};
  return "it is no connection string of PostgreSQL; write pairs such as \"host=shop.example dbname=hoops "
         "sslmode=verify-full\", with values that hold spaces in '...', and leave the password to the password file";
}

bool holds_password(const std::string& connection) {
  const ConnectionOptions options = parsed(connection);
  return options && !options.value("password").empty();
}

void ServerRows::Clear::operator()(pg_result* result) const { PQclear(result); }
int ServerRows::count() const { return PQntuples(result_.get()); }
bool ServerRows::null(int row, int column) const { return PQgetisnull(result_.get(), row, column) != 0; }
std::string ServerRows::text(int row, int column) const {
  return {PQgetvalue(result_.get(), row, column), static_cast<std::size_t>(PQgetlength(result_.get(), row, column))};
}
long long ServerRows::number(int row, int column) const {
  return std::strtoll(PQgetvalue(result_.get(), row, column), nullptr, 10);
}

std::string array_text(const std::vector<std::string>& values) {
  std::string out = "{";
  for (const std::string& value : values) {
    out += out.size() > 1 ? ",\"" : "\"";
    for (const char c : value) {
      if (c == '\0') {
        out += "\xEF\xBF\xBD";
        continue;
      }
      if (c == '"' || c == '\\') out += '\\';
      out += c;
    }
    out += '"';
  }
  return out + "}";
}

Server::Server(const std::string& connection, const std::string& station, Stopped stopped)
    : connection_(nullptr, &PQfinish), stopped_(std::move(stopped)) {
  if (const std::string fault = fault_of_connection(connection); !fault.empty())
    throw ShareError(ShareError::Kind::other, "the connection to the shop's server: " + fault);
  const std::string name = "hoopgauge " + station;
  // Later ones count: what the string says is above the limits here.
  const std::array<const char*, 8> names{
      "keepalives_idle", "keepalives_interval", "keepalives_count",          "tcp_user_timeout",
      "dbname",          "client_encoding",     "fallback_application_name", nullptr};
  const std::array<const char*, 8> values{"20", "5", "3", "20000", connection.c_str(), "UTF8", name.c_str(), nullptr};
  connection_.reset(PQconnectStartParams(names.data(), values.data(), 1));
  if (!connection_) throw ShareError(ShareError::Kind::other, "there is no memory left for a connection");
  PQsetNoticeReceiver(connection_.get(), say_nothing, nullptr);
  // Words change with the server's language, the state in them does not.
  PQsetErrorVerbosity(connection_.get(), PQERRORS_VERBOSE);
  connect();
  PQsetErrorVerbosity(connection_.get(), PQERRORS_DEFAULT);
  PQsetnonblocking(connection_.get(), 1);
  run(kLimits);
}

Server::~Server() = default;

void Server::connect() {
  const std::string wanted = option("connect_timeout");
  const int seconds = std::atoi(wanted.c_str());
  const auto until = Clock::now() + (seconds > 0 ? std::chrono::seconds(std::max(2, seconds)) : kConnectLimit);
  int stage = PQstatus(connection_.get());
  if (stage == CONNECTION_BAD) fail_connecting(CONNECTION_NEEDED);
  PostgresPollingStatusType next = PGRES_POLLING_WRITING;
  while (next != PGRES_POLLING_OK) {
    try {
      wait_for(next == PGRES_POLLING_READING, next == PGRES_POLLING_WRITING, until);
    } catch (const ShareError& error) {
      if (error.kind() == ShareError::Kind::stopped) throw;
      fail_connecting(CONNECTION_NEEDED);  // nobody answers
    }
    next = PQconnectPoll(connection_.get());
    if (next == PGRES_POLLING_FAILED) fail_connecting(stage);
    stage = PQstatus(connection_.get());
  }
}

void Server::wait_for(bool reading, bool writing, Clock::time_point until) {
  while (true) {
    if (stopped_ && stopped_()) throw ShareError(ShareError::Kind::stopped, "sharing was stopped");
    if (Clock::now() >= until) throw asking_failed("", {place(), {}, {}, {}}, "no answer came in time");
    pollfd one{PQsocket(connection_.get()), static_cast<short>((reading ? POLLIN : 0) | (writing ? POLLOUT : 0)), 0};
    if (one.fd < 0) throw asking_failed("", {place(), {}, {}, {}}, own_words());
    if (::poll(&one, 1, static_cast<int>(kStopLookedAt.count())) > 0) return;
  }
}

void Server::flush(Clock::time_point until) {
  for (int left = 1; (left = PQflush(connection_.get())) != 0;) {
    if (left < 0) fail_asking(nullptr);
    wait_for(true, true, until);
    // The server may have to be heard before it takes more.
    if (PQconsumeInput(connection_.get()) == 0) fail_asking(nullptr);
  }
}

std::unique_ptr<pg_result, void (*)(pg_result*)> Server::last_result(Clock::time_point until) {
  std::unique_ptr<pg_result, void (*)(pg_result*)> last(nullptr, &PQclear);
  flush(until);
  while (true) {
    while (PQisBusy(connection_.get()) != 0) {
      wait_for(true, false, until);
      if (PQconsumeInput(connection_.get()) == 0) fail_asking(nullptr);
    }
    pg_result* one = PQgetResult(connection_.get());
    if (one == nullptr) return last;
    const ExecStatusType status = PQresultStatus(one);
    last.reset(one);
    if (status != PGRES_COMMAND_OK && status != PGRES_TUPLES_OK) fail_asking(one);
  }
}

ServerRows Server::ask(const std::string& sql, const std::vector<std::string>& parameters) {
  std::vector<const char*> values;
  for (const std::string& one : parameters) values.push_back(one.c_str());
  if (PQsendQueryParams(connection_.get(), sql.c_str(), static_cast<int>(values.size()), nullptr, values.data(),
                        nullptr, nullptr, 0) == 0)
    fail_asking(nullptr);
  auto result = last_result(Clock::now() + kAnswerLimit);
  if (!result) fail_asking(nullptr);
  return ServerRows(result.release());
}

void Server::run(const std::string& sql) {
  if (PQsendQuery(connection_.get(), sql.c_str()) == 0) fail_asking(nullptr);
  last_result(Clock::now() + kAnswerLimit);
}

std::string Server::option(const char* name) const {
  return ConnectionOptions(PQconninfo(connection_.get())).value(name);
}

std::string Server::own_words() const {
  std::string words = PQerrorMessage(connection_.get());
  const char* password = PQpass(connection_.get());
  replace_all(words, password != nullptr ? password : "", "...");
  // The places in the server's own source are of no use to anybody here.
  for (std::size_t at = words.find("\nLOCATION:"); at != std::string::npos; at = words.find("\nLOCATION:"))
    words.erase(at, words.find('\n', at + 1) == std::string::npos ? std::string::npos : words.find('\n', at + 1) - at);
  while (!words.empty() && (words.back() == '\n' || words.back() == ' ')) words.pop_back();
  replace_all(words, "\n", " ");
  return words;
}

void Server::fail_connecting(int stage) const {
  const std::string words = own_words();
  const Password password = PQconnectionNeedsPassword(connection_.get()) != 0  ? Password::missing
                            : PQconnectionUsedPassword(connection_.get()) != 0 ? Password::used
                                                                               : Password::not_asked;
  throw connecting_failed(stage_of(stage), sql_state_in(PQerrorMessage(connection_.get())),
                          {place(), option("host"), option("dbname"), user()}, words, password);
}

void Server::fail_asking(const pg_result* result) const {
  const char* state = result != nullptr ? PQresultErrorField(result, PG_DIAG_SQLSTATE) : nullptr;
  throw asking_failed(state != nullptr ? state : "", {place(), option("host"), option("dbname"), user()}, own_words());
}

std::string Server::place() const {
  const std::string host = option("host"), address = option("hostaddr"), database = option("dbname");
  const std::string where = !host.empty() ? host : !address.empty() ? address : "this computer";
  return (database.empty() ? std::string("a database") : database) + " on " + where;
}

std::string Server::user() const { return option("user"); }

std::string Server::version() const {
  const char* text = PQparameterStatus(connection_.get(), "server_version");
  return text != nullptr ? text : "?";
}

std::optional<std::string> Server::tls() const {
  if (PQsslInUse(connection_.get()) == 0) return std::nullopt;
  const char* text = PQsslAttribute(connection_.get(), "protocol");
  return std::string(text != nullptr ? text : "TLS");
}

bool Server::is_remote() const {
  const char* host = PQhost(connection_.get());
  return host != nullptr && *host != '\0' && *host != '/' && *host != '@';
}

bool Server::certificate_checked() const {
  return PQsslInUse(connection_.get()) != 0 && option("sslmode") == "verify-full";
}

}  // namespace app
