#include "tests/app/postgres_server.h"

#include <fcntl.h>
#include <grp.h>
#include <poll.h>
#include <pwd.h>
#include <signal.h>
#include <sys/prctl.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cstring>
#include <stdexcept>

namespace postgres {
namespace {

namespace fs = std::filesystem;
using namespace std::chrono_literals;

constexpr const char* kVersions = "/usr/lib/postgresql";
constexpr const char* kSocket = ".s.PGSQL.5432";

// Nothing where this user may run the server.
const passwd* other_user() {
  if (::geteuid() != 0) return nullptr;
  for (const char* name : {"postgres", "nobody"})
    if (const passwd* user = ::getpwnam(name)) return user;
  throw std::runtime_error("there is no user to run PostgreSQL as");
}

void give_to(const passwd* user, const fs::path& file) {
  if (user && ::chown(file.c_str(), user->pw_uid, user->pw_gid) != 0) throw std::runtime_error("chown failed");
}

int connected_to(const std::string& path) {
  const int one = ::socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0);
  sockaddr_un address{};
  address.sun_family = AF_UNIX;
  std::strncpy(address.sun_path, path.c_str(), sizeof address.sun_path - 1);
  if (::connect(one, reinterpret_cast<const sockaddr*>(&address), sizeof address) == 0) return one;
  ::close(one);
  return -1;
}

bool write_all(int to, const char* bytes, ssize_t count) {
  while (count > 0) {
    const ssize_t done = ::send(to, bytes, static_cast<std::size_t>(count), MSG_NOSIGNAL);
    if (done <= 0) return false;
    bytes += done;
    count -= done;
  }
  return true;
}

}  // namespace

std::string program(const std::string& name) {
  std::vector<std::pair<int, std::string>> found;
  std::error_code error;
  for (const auto& version : fs::directory_iterator(kVersions, error)) {
    const fs::path file = version.path() / "bin" / name;
    if (fs::exists(file, error)) found.emplace_back(std::atoi(version.path().filename().c_str()), file.string());
  }
  if (found.empty())
    throw std::runtime_error("there is no " + name + " below " + kVersions + ": install Debian's package postgresql");
  return std::max_element(found.begin(), found.end())->second;
}

pid_t Cluster::start(const std::vector<std::string>& command) const {
  const passwd* user = other_user();
  const std::string log = (folder_.path / "log").string();
  std::vector<char*> arguments;
  for (const std::string& word : command) arguments.push_back(const_cast<char*>(word.c_str()));
  arguments.push_back(nullptr);
  const pid_t child = ::fork();
  if (child != 0) return child;
  if (user && (::setgroups(0, nullptr) != 0 || ::setgid(user->pw_gid) != 0 || ::setuid(user->pw_uid) != 0))
    ::_exit(126);
  // It must not outlive the test, whatever becomes of that. After the change of user, which takes it back.
  ::prctl(PR_SET_PDEATHSIG, SIGQUIT);
  const int opened = ::open(log.c_str(), O_CREAT | O_WRONLY | O_APPEND, 0600);
  ::dup2(opened, STDOUT_FILENO);
  ::dup2(opened, STDERR_FILENO);
  if (::chdir("/") != 0) ::_exit(125);
  ::setenv("LC_ALL", "C", 1);
  ::execv(arguments[0], arguments.data());
  ::_exit(127);
}

void Cluster::run(const std::vector<std::string>& command) const {
  const pid_t child = start(command);
  int status = 0;
  if (child < 0 || ::waitpid(child, &status, 0) != child || !WIFEXITED(status) || WEXITSTATUS(status) != 0)
    throw std::runtime_error(command[0] + " failed: " + TemporaryFolder::content(folder_.path / "log"));
}

Cluster::Cluster(const std::map<std::string, std::string>& settings, const std::string& access,
                 const std::map<std::string, std::string>& files) {
  const passwd* user = other_user();
  give_to(user, folder_.path);
  const fs::path data = folder_.path / "data";
  run({program("initdb"), "-D", data.string(), "-U", "shop", "-A", "trust", "-E", "UTF8", "--locale=C", "--no-sync",
       "--wal-segsize=1", "--no-instructions"});
  std::ofstream(data / "pg_hba.conf") << access << "local all shop trust\n";
  for (const auto& [name, content] : files) {
    std::ofstream(data / name) << content;
    fs::permissions(data / name, fs::perms::owner_read | fs::perms::owner_write);
    give_to(user, data / name);
  }
  std::map<std::string, std::string> all{
      {"listen_addresses", ""},   {"unix_socket_directories", folder_.path.string()},
      {"port", "5432"},           {"fsync", "off"},
      {"shared_buffers", "32MB"}, {"max_connections", "20"},
      {"autovacuum", "off"},      {"full_page_writes", "off"},
  };
  for (const auto& [name, value] : settings) all[name] = value;
  port_ = all["port"];
  std::vector<std::string> command{program("postgres"), "-D", data.string()};
  for (const auto& [name, value] : all) {
    command.emplace_back("-c");
    command.push_back(name + "=" + value);
  }
  pid_ = start(command);
  for (int i = 0; i < 3000; ++i) {
    int status = 0;
    if (::waitpid(pid_, &status, WNOHANG) == pid_) {
      pid_ = -1;
      break;
    }
    if (answers()) return;
    std::this_thread::sleep_for(10ms);
  }
  stop();
  throw std::runtime_error("PostgreSQL did not start: " + TemporaryFolder::content(folder_.path / "log"));
}

Cluster::~Cluster() { stop(); }

bool Cluster::answers() const {
  try {
    app::Server(connection("postgres"), "test", {}).ask("SELECT 1");
    return true;
  } catch (const app::ShareError&) {
    return false;
  }
}

void Cluster::stop() {
  if (pid_ < 0) return;
  for (const int signal : {SIGQUIT, SIGKILL}) {
    ::kill(pid_, signal);
    for (int i = 0; i < 1000; ++i) {
      if (::waitpid(pid_, nullptr, WNOHANG) == pid_) {
        pid_ = -1;
        return;
      }
      std::this_thread::sleep_for(5ms);
    }
  }
}

std::string Cluster::connection(const std::string& database) const {
  return "host=" + folder() + " port=" + port_ + " user=shop dbname=" + database;
}

TestServer::TestServer() {
  static const std::shared_ptr<const Cluster> of_all = std::make_shared<Cluster>(
      std::map<std::string, std::string>{}, std::string(), std::map<std::string, std::string>{});
  static int count = 0;
  cluster_ = of_all;
  database_ += std::to_string(++count);
  ask("CREATE DATABASE " + database_, "postgres");
}

TestServer::TestServer(const std::map<std::string, std::string>& settings, const std::string& access,
                       const std::map<std::string, std::string>& files)
    : cluster_(std::make_shared<Cluster>(settings, access, files)) {
  ask("CREATE DATABASE " + database_, "postgres");
}

app::ServerRows TestServer::ask(const std::string& sql, const std::string& database) const {
  return app::Server(connection(database), "test", {}).ask(sql);
}

Relay::Relay(const TestServer& server) : target_(server.folder() + "/" + kSocket), database_(server.database()) {
  listener_ = ::socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0);
  sockaddr_un address{};
  address.sun_family = AF_UNIX;
  std::strncpy(address.sun_path, (folder_.path / kSocket).c_str(), sizeof address.sun_path - 1);
  if (::bind(listener_, reinterpret_cast<const sockaddr*>(&address), sizeof address) != 0 ||
      ::listen(listener_, 8) != 0)
    throw std::runtime_error("no relay");
  thread_ = std::thread([this] { run(); });
}

Relay::~Relay() {
  end_ = true;
  thread_.join();
  ::close(listener_);
}

std::string Relay::connection() const {
  return "host=" + folder_.path.string() + " port=5432 user=shop dbname=" + database_;
}

void Relay::cut_after(long bytes_to_server, long bytes_back) {
  to_server_ = bytes_to_server;
  back_ = bytes_back;
}

void Relay::run() {
  while (!end_) {
    pollfd one{listener_, POLLIN, 0};
    if (::poll(&one, 1, 20) <= 0) continue;
    const int client = ::accept4(listener_, nullptr, nullptr, SOCK_CLOEXEC);
    if (client < 0) continue;
    pass_on(client);
    ::close(client);
  }
}

// One connection at a time, as a station has.
void Relay::pass_on(int client) {
  const int server = connected_to(target_);
  if (server < 0) return;
  std::array<long, 2> left{to_server_, back_};
  const std::array<int, 2> ends{client, server};
  std::array<char, 16384> buffer{};
  bool open = true;
  while (open && !end_) {
    std::array<pollfd, 2> both{{{client, POLLIN, 0}, {server, POLLIN, 0}}};
    if (::poll(both.data(), both.size(), 20) <= 0) continue;
    for (std::size_t i = 0; i < 2 && open; ++i) {
      if (both[i].revents == 0) continue;
      ssize_t count = ::recv(ends[i], buffer.data(), buffer.size(), 0);
      open = count > 0;
      const bool cut = open && left[i] >= 0 && count > left[i];
      if (cut) count = left[i];
      if (open) open = write_all(ends[1 - i], buffer.data(), count) && !cut;
      if (left[i] >= 0) left[i] -= count;
      cuts_ += cut ? 1 : 0;
    }
  }
  ::close(server);
}

}  // namespace postgres
