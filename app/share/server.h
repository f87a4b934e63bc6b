// A connection to a PostgreSQL server (libpq) that never waits without end and hears a wish to stop.
#pragma once

#include <chrono>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "app/share/share_error.h"

struct pg_conn;
struct pg_result;

namespace app {

// The connection string cannot be read: in words that repeat nothing of it. Empty: it can.
std::string fault_of_connection(const std::string& connection);
// Whether the password stands in the string itself.
bool holds_password(const std::string& connection);

class ServerRows {
 public:
  explicit ServerRows(pg_result* result) : result_(result) {}
  int count() const;
  bool null(int row, int column) const;
  std::string text(int row, int column) const;
  long long number(int row, int column) const;

 private:
  struct Clear {
    void operator()(pg_result* result) const;
  };
  std::unique_ptr<pg_result, Clear> result_;
};

// An array as PostgreSQL writes it, for a parameter of type text[]. Zero bytes, which no text there may hold, become
// U+FFFD.
std::string array_text(const std::vector<std::string>& values);

// Not for several threads at once. Every function throws ShareError; afterwards the connection is of no use any more.
class Server {
 public:
  // Asked several times a second while something is waited for.
  using Stopped = std::function<bool()>;

  // What the string leaves out comes from libpq's own places: password file, service file, environment.
  // `station` names this station to the server's own list of connections.
  Server(const std::string& connection, const std::string& station, Stopped stopped);
  ~Server();
  Server(const Server&) = delete;
  Server& operator=(const Server&) = delete;

  // One statement with its parameters $1, $2 ... as texts: done wholly or not at all.
  ServerRows ask(const std::string& sql, const std::vector<std::string>& parameters = {});
  // Several statements without parameters: all or none.
  void run(const std::string& sql);

  std::string place() const;  // "hoops on shop.example", for messages
  std::string user() const;
  std::string version() const;             // the server's
  std::optional<std::string> tls() const;  // such as "TLSv1.3"; nothing where the line is not encrypted
  bool is_remote() const;                  // not through a socket of this computer
  bool certificate_checked() const;        // the server's, and its name

 private:
  using Clock = std::chrono::steady_clock;
  void connect();
  void wait_for(bool reading, bool writing, Clock::time_point until);
  void flush(Clock::time_point until);
  std::unique_ptr<pg_result, void (*)(pg_result*)> last_result(Clock::time_point until);
  [[noreturn]] void fail_connecting(int stage) const;
  [[noreturn]] void fail_asking(const pg_result* result) const;
  std::string own_words() const;  // libpq's, without a password
  std::string option(const char* name) const;

  std::unique_ptr<pg_conn, void (*)(pg_conn*)> connection_;
  Stopped stopped_;
};

}  // namespace app
