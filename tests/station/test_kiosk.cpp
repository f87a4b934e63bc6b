// The station as a service: its unit as systemd judges it, and what the real program tells its manager.
// GCC sees uninitialised values of the library's own where the address sanitizer instruments std::regex.
#ifdef __SANITIZE_ADDRESS__
#pragma GCC diagnostic ignored "-Wmaybe-uninitialized"
#endif

#include <signal.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <regex>

#include "tests/catch.h"
#include "tests/station/shown.h"

using namespace std::chrono_literals;
using station::can_show;
using station::on;

namespace {

namespace fs = std::filesystem;

constexpr const char* kAnalyze = "/usr/bin/systemd-analyze";

bool can_analyze() {
  if (::access(kAnalyze, X_OK) == 0) return true;
  if (std::getenv("CI") != nullptr) FAIL("Debian's package systemd is missing: the unit was not tested");
  WARN("SKIPPED, nothing was checked: install Debian's package systemd to test the unit");
  return false;
}

// The system's units, ours, and a program where ours expects it.
struct Root {
  explicit Root(const std::string& unit) {
    const fs::path units = folder.path / "usr/lib/systemd/system";
    fs::create_directories(units.parent_path());
    fs::copy("/usr/lib/systemd/system", units, fs::copy_options::recursive | fs::copy_options::copy_symlinks);
    std::ofstream(units / "hoopgauge.service") << unit;
    std::smatch found;
    REQUIRE(std::regex_search(unit, found, std::regex("ExecStart=(/[^ ]+) ")));
    const fs::path program = folder.path / fs::path(found[1].str()).relative_path();
    fs::create_directories(program.parent_path());
    std::ofstream(program) << "#!/bin/sh\n";
    fs::permissions(program, fs::perms::owner_all);
    fs::create_directory_symlink("usr/lib", folder.path / "lib");
    fs::create_directory_symlink("usr/bin", folder.path / "bin");
  }
  // Exit code, and all that was said.
  std::pair<int, std::string> analyze(std::vector<std::string> words) const {
    std::vector<std::string> command{kAnalyze};
    command.insert(command.end(), words.begin(), words.end());
    command.push_back("--root=" + folder.path.string());
    command.push_back("hoopgauge.service");
    station::Process process(command, {{"SYSTEMD_COLORS", "0"}, {"SYSTEMD_PAGER", "cat"}, {"LC_ALL", "C.UTF-8"}});
    const auto code = process.wait(60s);
    REQUIRE(code);
    return {*code, process.output() + process.errors()};
  }
  TemporaryFolder folder;
};

std::string unit_text() { return TemporaryFolder::content(HOOPGAUGE_UNIT); }

std::vector<std::string> values(const std::string& unit, const std::string& key) {
  std::vector<std::string> out;
  const std::regex line("(^|\n)" + key + "=([^\n]*)");
  for (std::sregex_iterator one(unit.begin(), unit.end(), line), end; one != end; ++one) out.push_back((*one)[2]);
  return out;
}

// What systemd would be: a socket that hears what the program says.
class Manager {
 public:
  Manager() : socket_(::socket(AF_UNIX, SOCK_DGRAM | SOCK_CLOEXEC, 0)) {
    sockaddr_un address{};
    address.sun_family = AF_UNIX;
    REQUIRE(path().size() < sizeof address.sun_path);
    path().copy(address.sun_path, path().size());
    REQUIRE(::bind(socket_, reinterpret_cast<const sockaddr*>(&address), sizeof address) == 0);
    const timeval patience{1, 0};
    ::setsockopt(socket_, SOL_SOCKET, SO_RCVTIMEO, &patience, sizeof patience);
  }
  ~Manager() { ::close(socket_); }
  Manager(const Manager&) = delete;
  Manager& operator=(const Manager&) = delete;

  std::string path() const { return (folder_.path / "notify").string(); }
  // Listens until this was said, at most for a minute.
  bool hears(const std::string& message) {
    for (int silent_s = 0; silent_s < 60;) {
      if (std::find(heard.begin(), heard.end(), message) != heard.end()) return true;
      char buffer[512];
      const ssize_t count = ::recv(socket_, buffer, sizeof buffer, 0);
      if (count > 0)
        heard.emplace_back(buffer, static_cast<std::size_t>(count));
      else
        ++silent_s;
    }
    return false;
  }
  std::vector<std::string> heard;

 private:
  TemporaryFolder folder_;
  int socket_ = -1;
};

}  // namespace

TEST_CASE("systemd finds nothing to say against the unit", "[kiosk]") {
  if (!can_analyze()) return;
  const auto [code, said] = Root(unit_text()).analyze({"verify"});
  CHECK(said == "");
  CHECK(code == 0);
  // It does look: a key that is misspelt is named.
  const auto [other, complaint] =
      Root(std::regex_replace(unit_text(), std::regex("Restart="), "Restrat=")).analyze({"verify"});
  static_cast<void>(other);
  CHECK(complaint.find("Restrat") != std::string::npos);
}

TEST_CASE("the unit's exposure is at most 2.0", "[kiosk]") {
  if (!can_analyze()) return;
  const auto [code, said] = Root(unit_text()).analyze({"security", "--offline=true", "--threshold=20", "--no-pager"});
  INFO(said);
  CHECK(code == 0);
  CHECK(said.find("Overall exposure level for hoopgauge.service: ") != std::string::npos);
  // It does judge: without its walls the same service fails.
  const std::string open =
      std::regex_replace(unit_text(), std::regex("\n(Protect|Restrict|Capability|System|IP)[^\n]*"), "");
  CHECK(Root(open).analyze({"security", "--offline=true", "--threshold=20", "--no-pager"}).first != 0);
}

TEST_CASE("the unit restarts the station whatever happens, and lets nothing out", "[kiosk]") {
  const std::string unit = unit_text();
  const auto is = [&](const std::string& key, const std::string& value) {
    INFO(key);
    CHECK(values(unit, key) == std::vector<std::string>{value});
  };
  is("Type", "notify");
  is("NotifyAccess", "main");
  is("WatchdogSec", "20");
  is("Restart", "always");
  is("StartLimitIntervalSec", "0");
  is("User", "hoopgauge");
  is("RestrictAddressFamilies", "AF_UNIX AF_NETLINK");
  is("IPAddressDeny", "any");
  is("StateDirectory", "hoopgauge");
  is("CacheDirectory", "hoopgauge");
  is("RuntimeDirectory", "hoopgauge");
  // What screen, keys, camera and sound need.
  is("SupplementaryGroups", "video render input audio");
  CHECK(values(unit, "DeviceAllow") == std::vector<std::string>{"char-drm rw", "char-input r", "char-video4linux rw",
                                                                "char-media rw", "char-dma_heap rw", "char-alsa rw"});
}

TEST_CASE("the running station says ready, beats, and says when it stops", "[kiosk][station]") {
  if (!can_show()) return;
  const station::Display display({1024, 600});
  Manager manager;
  auto environment = on(display);
  environment["NOTIFY_SOCKET"] = manager.path();
  environment["WATCHDOG_USEC"] = "20000000";
  environment["WATCHDOG_PID"] = "";
  const TemporaryFolder state;
  environment["STATE_DIRECTORY"] = state.path.string();
  station::Process program({HOOPGAUGE_PROGRAM, "station", "--rendered"}, environment);
  CHECK(manager.hears("READY=1"));
  CHECK(manager.hears("WATCHDOG=1"));
  CHECK(station::wait_for_picture(display));
  program.signal(SIGTERM);
  CHECK(manager.hears("STOPPING=1"));
  CHECK(program.wait(2000ms) == 0);
  const auto place = [&](const std::string& what) {
    return std::find(manager.heard.begin(), manager.heard.end(), what) - manager.heard.begin();
  };
  CHECK(place("READY=1") < place("STOPPING=1"));
  CHECK(place("WATCHDOG_USEC=20000000") < place("WATCHDOG=1"));
}
