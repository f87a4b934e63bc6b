// Keeps a log readable and small: the same line not again and again, and not too many in all.
#pragma once

#include <map>
#include <optional>
#include <string>

namespace app {

struct LogLimits {
  double same_s = 60.0;  // the same text at most once in so long
  int lines = 60;        // of all texts, within `window_s`
  double window_s = 60.0;
};

class LogLimit {
 public:
  explicit LogLimit(LogLimits limits = {}) : limits_(limits) {}

  // What is to be written for this text now, with a word on what was left out since; nothing when it is left out
  // itself. Time in seconds, steady.
  std::optional<std::string> pass(const std::string& text, double now_s);

 private:
  struct Same {
    double written_s = 0.0;
    int left_out = 0;
  };

  void forget_old(double now_s);

  LogLimits limits_;
  std::map<std::string, Same> texts_;  // as many as were written lately
  double window_start_s_ = 0.0;
  int in_window_ = 0, left_out_ = 0;
};

}  // namespace app
