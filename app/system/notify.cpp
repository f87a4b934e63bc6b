#include "app/system/notify.h"

#include <systemd/sd-daemon.h>

#include <cstdint>

namespace app {
namespace {

// Whether somebody was told; a failure is nothing the station could act upon.
bool tell(const std::string& state) { return ::sd_notify(0, state.c_str()) > 0; }

std::uint64_t limit_us() {
  std::uint64_t limit = 0;
  return ::sd_watchdog_enabled(0, &limit) > 0 ? limit : 0;
}

}  // namespace

void notify_ready() {
  static bool told = false;
  told = told || tell("READY=1");
}

void notify_status(const std::string& status) {
  static std::string last;
  if (status == last) return;
  last = status;
  // A second line would be an order of its own.
  tell("STATUS=" + status.substr(0, status.find('\n')));
}

void notify_stopping() { tell("STOPPING=1"); }

std::optional<std::chrono::duration<double>> watchdog_limit() {
  const std::uint64_t limit = limit_us();
  if (limit == 0) return std::nullopt;
  return std::chrono::duration<double>(std::chrono::microseconds(limit));
}

void notify_watched(bool on) {
  if (const std::uint64_t limit = limit_us()) tell("WATCHDOG_USEC=" + std::to_string(on ? limit : 0));
}

void notify_beat() { tell("WATCHDOG=1"); }

}  // namespace app
