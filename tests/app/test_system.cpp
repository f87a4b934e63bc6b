// Log, watchdog and what the service manager is told.
#include <fcntl.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <unistd.h>

#include <chrono>
#include <cstdlib>
#include <string>

#include "app/system/log_limit.h"
#include "app/system/log_sink.h"
#include "app/system/notify.h"
#include "app/system/watchdog.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

namespace {

using app::Watchdog;
using Seconds = std::chrono::duration<double>;

Watchdog::Time at(double seconds) {
  return Watchdog::Time(std::chrono::duration_cast<Watchdog::Time::duration>(Seconds(seconds)));
}

// A variable of the environment, as it was afterwards.
class Variable {
 public:
  Variable(const char* name, const std::string& value) : name_(name) { ::setenv(name, value.c_str(), 1); }
  ~Variable() { ::unsetenv(name_); }
  Variable(const Variable&) = delete;
  Variable& operator=(const Variable&) = delete;

 private:
  const char* name_;
};

// Beats every 0.1 s from `from` to `to`, with the screen and the frames alive until they stop; the last beat told.
double last_fed(Watchdog& dog, double to, double screen_stops, double frames_stop) {
  double fed = -1.0;
  for (double now = 0.0; now <= to; now += 0.1) {
    if (now <= screen_stops) dog.screen_drawn(at(now));
    if (now <= frames_stop) dog.frames_alive(at(now));
    if (dog.feed(at(now))) fed = now;
  }
  return fed;
}

struct Written {
  std::string text;
  double now_s = 0.0;
  std::shared_ptr<app::LogSink> sink(app::LogStyle style, app::LogLimits limits = {}) {
    return std::make_shared<app::LogSink>(
        style, limits, [this](const std::string& line) { text += line; }, [this] { return now_s; });
  }
};

}  // namespace

// Guarantees: a thread that hangs has the station started anew. Example failure: the main loop goes round and feeds the
// watchdog while the camera's thread hangs.
TEST_CASE("the watchdog is fed only while screen and frames make progress", "[system][watchdog]") {
  const auto dog = [] { return Watchdog(Seconds(20.0), at(0.0)); };
  Watchdog well = dog();
  CHECK(last_fed(well, 100.0, 1e9, 1e9) > 94.0);
  Watchdog dark = dog();
  CHECK_THAT(last_fed(dark, 100.0, 30.0, 1e9), WithinAbs(37.5, 2.6));  // ten more seconds, told every five
  Watchdog hung = dog();
  CHECK_THAT(last_fed(hung, 100.0, 1e9, 30.0), WithinAbs(37.5, 2.6));
  // The last word and the limit together: within 40 s of the hang systemd acts.
  Watchdog never = dog();
  CHECK(last_fed(never, 100.0, -1.0, -1.0) <= 10.0);
  Watchdog ended = dog();
  ended.frames_ended();
  CHECK(last_fed(ended, 100.0, 1e9, 30.0) > 94.0);
}

TEST_CASE("the watchdog is fed at once, then a few times within the limit", "[system][watchdog]") {
  Watchdog dog(Seconds(20.0), at(0.0));
  int fed = 0;
  CHECK(dog.feed(at(0.0)));
  for (double now = 0.05; now < 20.0; now += 0.05) {
    dog.screen_drawn(at(now));
    dog.frames_alive(at(now));
    fed += dog.feed(at(now)) ? 1 : 0;
  }
  CHECK(fed == 3);
  CHECK_FALSE(Watchdog(std::nullopt, at(0.0)).feed(at(0.0)));
}

TEST_CASE("the service manager hears ready once, a status when it changes, and beats", "[system][notify]") {
  const TemporaryFolder folder;
  const int socket = ::socket(AF_UNIX, SOCK_DGRAM | SOCK_CLOEXEC, 0);
  REQUIRE(socket >= 0);
  sockaddr_un address{};
  address.sun_family = AF_UNIX;
  const std::string path = (folder.path / "notify").string();
  REQUIRE(path.size() < sizeof address.sun_path);
  path.copy(address.sun_path, path.size());
  REQUIRE(::bind(socket, reinterpret_cast<const sockaddr*>(&address), sizeof address) == 0);
  const auto heard = [&] {
    std::string all;
    char buffer[256];
    for (ssize_t count = 0; (count = ::recv(socket, buffer, sizeof buffer, MSG_DONTWAIT)) > 0;)
      all += std::string(buffer, static_cast<std::size_t>(count)) + "|";
    return all;
  };
  CHECK_FALSE(app::watchdog_limit());
  app::notify_status("nobody listens");
  {
    const Variable where("NOTIFY_SOCKET", path);
    const Variable limit("WATCHDOG_USEC", "20000000");
    CHECK_THAT(app::watchdog_limit().value().count(), WithinAbs(20.0, 1e-9));
    app::notify_ready();
    app::notify_ready();
    app::notify_status("Camera A\nWATCHDOG=trigger");
    app::notify_status("Camera A\nWATCHDOG=trigger");
    app::notify_watched(true);
    app::notify_beat();
    app::notify_watched(false);
    app::notify_stopping();
    CHECK(heard() == "READY=1|STATUS=Camera A|WATCHDOG_USEC=20000000|WATCHDOG=1|WATCHDOG_USEC=0|STOPPING=1|");
  }
  app::notify_beat();
  CHECK(heard().empty());
  ::close(socket);
}

TEST_CASE("lines for the journal bear its priority, each of them", "[system][logs]") {
  Written journal, plain;
  const auto to_journal = journal.sink(app::LogStyle::journal), to_plain = plain.sink(app::LogStyle::plain);
  using spdlog::level::level_enum;
  for (const auto level : {level_enum::debug, level_enum::info, level_enum::warn, level_enum::err}) {
    const std::string text = "two\nlines of " + std::to_string(level);
    to_journal->log({"station", level, text});
    to_plain->log({"station", level, text});
  }
  // Priorities after syslog.h (RFC 5424): error 3, warning 4, informational 6, debug 7.
  CHECK(journal.text == "<7>two\n<7>lines of 1\n<6>two\n<6>lines of 2\n<4>two\n<4>lines of 3\n<3>two\n<3>lines of 4\n");
  CHECK(plain.text.starts_with("hoopgauge: two\n"));
  CHECK(plain.text.find("hoopgauge: warning: two\n") != std::string::npos);
  CHECK(plain.text.find("hoopgauge: error: two\n") != std::string::npos);
}

TEST_CASE("the same line comes once in a while, with a word on what was left out", "[system][logs]") {
  app::LogLimit limit({60.0, 100, 60.0});
  CHECK(limit.pass("lost", 0.0) == "lost");
  for (int i = 0; i < 5; ++i) CHECK_FALSE(limit.pass("lost", 10.0 * i));
  CHECK(limit.pass("other", 59.0) == "other");
  CHECK_FALSE(limit.pass("lost", 59.9));
  CHECK(limit.pass("lost", 60.0) == "lost (6 times more since the last time)");
  CHECK(limit.pass("lost", 120.0) == "lost");
}

TEST_CASE("a flood of lines is cut, and the next line says so", "[system][logs]") {
  app::LogLimit limit({60.0, 10, 60.0});
  int passed = 0;
  for (int i = 0; i < 1000; ++i) passed += limit.pass("line " + std::to_string(i), 1.0) ? 1 : 0;
  CHECK(passed == 10);
  CHECK(limit.pass("later", 61.0) == "later (990 other lines were left out before)");
  CHECK(limit.pass("last", 61.5) == "last");
}

TEST_CASE("the last warnings are kept for the service view, with their time", "[system][logs]") {
  Written out;
  const auto sink = out.sink(app::LogStyle::plain, {60.0, 1000, 60.0});
  sink->log({"station", spdlog::level::info, "no warning"});
  for (int i = 0; i < 60; ++i) {
    spdlog::details::log_msg message{"station", spdlog::level::warn, ""};
    const std::string text = "warning " + std::to_string(i);
    message.payload = text;
    message.time = std::chrono::system_clock::from_time_t(1769860800 + i);  // 2026-01-31 12:00:00 UTC
    sink->log(message);
  }
  const auto last = sink->last_warnings();
  REQUIRE(last.size() == 50);
  CHECK(last.front() == "2026-01-31 12:00:10Z warning 10");
  CHECK(last.back() == "2026-01-31 12:00:59Z warning 59");
}

// After systemd.exec(5), JOURNAL_STREAM: device and inode number, decimal, separated by a colon.
TEST_CASE("the journal is known by the name that systemd gives it", "[system][logs]") {
  const TemporaryFolder folder;
  const int file = ::open(folder.put("stream", "").c_str(), O_RDONLY | O_CLOEXEC);
  REQUIRE(file >= 0);
  struct stat found {};
  REQUIRE(::fstat(file, &found) == 0);
  CHECK_FALSE(app::is_journal(file));
  const std::string name = std::to_string(found.st_dev) + ":" + std::to_string(found.st_ino);
  {
    const Variable stream("JOURNAL_STREAM", name);
    CHECK(app::is_journal(file));
  }
  {
    const Variable stream("JOURNAL_STREAM", name + "1");
    CHECK_FALSE(app::is_journal(file));
  }
  ::close(file);
}
