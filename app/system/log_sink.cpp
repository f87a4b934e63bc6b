#include "app/system/log_sink.h"

#include <sys/stat.h>

#include <chrono>
#include <cstdlib>
#include <ctime>
#include <utility>

namespace app {
namespace {

constexpr std::size_t kWarningsKept = 50;

// The journal's priorities are syslog's.
const char* journal_sign(spdlog::level::level_enum level) {
  switch (level) {
    case spdlog::level::critical:
      return "<2>";
    case spdlog::level::err:
      return "<3>";
    case spdlog::level::warn:
      return "<4>";
    case spdlog::level::info:
      return "<6>";
    default:
      return "<7>";
  }
}

const char* plain_sign(spdlog::level::level_enum level) {
  if (level >= spdlog::level::err) return "hoopgauge: error: ";
  return level == spdlog::level::warn ? "hoopgauge: warning: " : "hoopgauge: ";
}

// Without an empty last line.
std::string with_sign(const std::string& sign, std::string text) {
  while (text.ends_with('\n')) text.pop_back();
  for (std::size_t at = 0; (at = text.find('\n', at)) != std::string::npos; at += 1 + sign.size())
    text.insert(at + 1, sign);
  return sign + text + "\n";
}

std::string utc(std::chrono::system_clock::time_point time) {
  const std::time_t seconds = std::chrono::system_clock::to_time_t(time);
  std::tm parts{};
  gmtime_r(&seconds, &parts);
  char text[32];
  std::strftime(text, sizeof text, "%Y-%m-%d %H:%M:%SZ", &parts);
  return text;
}

}  // namespace

LogSink::LogSink(LogStyle style, LogLimits limits, std::function<void(const std::string&)> write,
                 std::function<double()> now_s)
    : style_(style), limit_(limits), write_(std::move(write)), now_s_(std::move(now_s)) {}

void LogSink::sink_it_(const spdlog::details::log_msg& message) {
  const auto text = limit_.pass(std::string(message.payload.data(), message.payload.size()), now_s_());
  if (!text) return;
  const char* sign = style_ == LogStyle::journal ? journal_sign(message.level) : plain_sign(message.level);
  write_(with_sign(sign, *text));
  if (message.level < spdlog::level::warn) return;
  warnings_.push_back(utc(message.time) + " " + *text);
  if (warnings_.size() > kWarningsKept) warnings_.pop_front();
}

std::vector<std::string> LogSink::last_warnings() {
  const std::scoped_lock lock(mutex_);
  return {warnings_.begin(), warnings_.end()};
}

bool is_journal(int descriptor) {
  const char* named = std::getenv("JOURNAL_STREAM");
  struct stat found {};
  if (named == nullptr || ::fstat(descriptor, &found) != 0) return false;
  return std::to_string(found.st_dev) + ":" + std::to_string(found.st_ino) == named;
}

}  // namespace app
