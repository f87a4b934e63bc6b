#include "app/system/logs.h"

#include <spdlog/spdlog.h>
#include <unistd.h>

#include <chrono>
#include <memory>

#include "app/system/log_sink.h"

namespace app {
namespace {

std::shared_ptr<LogSink>& sink() {
  static std::shared_ptr<LogSink> one;
  return one;
}

// One call a line: lines of several threads or programs do not mix. A closed terminal is nobody's fault.
void write_line(const std::string& line) {
  if (::write(STDERR_FILENO, line.data(), line.size()) < 0) return;
}

double steady_s() { return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count(); }

}  // namespace

void start_logs() {
  const LogStyle style = is_journal(STDERR_FILENO) ? LogStyle::journal : LogStyle::plain;
  sink() = std::make_shared<LogSink>(style, LogLimits{}, write_line, steady_s);
  spdlog::set_default_logger(std::make_shared<spdlog::logger>("hoopgauge", sink()));
}

std::vector<std::string> last_warnings() { return sink() ? sink()->last_warnings() : std::vector<std::string>(); }

}  // namespace app
