// A PostgreSQL server of a test's own, from Debian's package postgresql, and a line to it that can be cut. Where the
// package is missing the test fails.
#pragma once

#include <sys/types.h>

#include <atomic>
#include <map>
#include <memory>
#include <string>
#include <thread>
#include <vector>

#include "app/share/server.h"
#include "tests/temporary_folder.h"

namespace postgres {

// The program of this name below /usr/lib/postgresql, of the newest version.
std::string program(const std::string& name);

// In a temporary folder, reached by a socket there; stopped at the latest when this object goes. PostgreSQL refuses to
// run as root: then it is the user postgres or nobody.
class Cluster {
 public:
  // `settings` are the server's own, such as ssl = on; `access` the lines of pg_hba.conf before the last, which lets
  // the user `shop` in through the socket. `files` lie in the data folder.
  Cluster(const std::map<std::string, std::string>& settings, const std::string& access,
          const std::map<std::string, std::string>& files);
  ~Cluster();
  Cluster(const Cluster&) = delete;
  Cluster& operator=(const Cluster&) = delete;

  std::string folder() const { return folder_.path.string(); }  // of the socket
  std::string connection(const std::string& database) const;
  // A program of PostgreSQL's with its arguments; must end well.
  void run(const std::vector<std::string>& command) const;

 private:
  void stop();
  bool answers() const;
  pid_t start(const std::vector<std::string>& command) const;

  TemporaryFolder folder_;
  std::string port_ = "5432";
  pid_t pid_ = -1;
};

// One database, empty, for a test: of a cluster that all tests of this program use, or of one of its own.
class TestServer {
 public:
  TestServer();
  explicit TestServer(const std::map<std::string, std::string>& settings, const std::string& access = {},
                      const std::map<std::string, std::string>& files = {});

  std::string folder() const { return cluster_->folder(); }
  const std::string& database() const { return database_; }
  // As the user `shop`, who may everything.
  std::string connection() const { return connection(database_); }
  std::string connection(const std::string& database) const { return cluster_->connection(database); }
  // One statement, as `shop`.
  app::ServerRows ask(const std::string& sql) const { return ask(sql, database_); }
  app::ServerRows ask(const std::string& sql, const std::string& database) const;
  long long number(const std::string& sql) const { return ask(sql).number(0, 0); }
  void run(const std::vector<std::string>& command) const { cluster_->run(command); }

 private:
  std::shared_ptr<const Cluster> cluster_;
  std::string database_ = "shop";
};

// A socket of the same name in a folder of its own that passes on what comes, until a number of bytes has gone either
// way; then both ends are closed.
class Relay {
 public:
  explicit Relay(const TestServer& server);
  ~Relay();
  Relay(const Relay&) = delete;
  Relay& operator=(const Relay&) = delete;

  std::string connection() const;
  // Of the connections from now on; negative: never.
  void cut_after(long bytes_to_server, long bytes_back);
  int cuts() const { return cuts_; }

 private:
  void run();
  void pass_on(int client);

  TemporaryFolder folder_;
  std::string target_, database_;
  int listener_ = -1;
  std::atomic<long> to_server_{-1}, back_{-1};
  std::atomic<int> cuts_{0};
  std::atomic<bool> end_{false};
  std::thread thread_;
};

}  // namespace postgres
