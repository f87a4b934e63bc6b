// Where the log's lines go.
#pragma once

#include <spdlog/sinks/base_sink.h>

#include <deque>
#include <functional>
#include <mutex>
#include <string>
#include <vector>

#include "app/system/log_limit.h"

namespace app {

enum class LogStyle {
  plain,    // "hoopgauge: warning: text"
  journal,  // "<4>text", after sd-daemon(3); a text of several lines has the sign before each
};

class LogSink : public spdlog::sinks::base_sink<std::mutex> {
 public:
  // `write` gets whole lines; `now_s` is a steady clock.
  LogSink(LogStyle style, LogLimits limits, std::function<void(const std::string&)> write,
          std::function<double()> now_s);

  std::vector<std::string> last_warnings();

 private:
  void sink_it_(const spdlog::details::log_msg& message) override;
  void flush_() override {}

  LogStyle style_;
  LogLimit limit_;
  std::function<void(const std::string&)> write_;
  std::function<double()> now_s_;
  std::deque<std::string> warnings_;
};

// Whether the descriptor is the one that systemd connected to its journal: JOURNAL_STREAM names its device and inode.
bool is_journal(int descriptor);

}  // namespace app
