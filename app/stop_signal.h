// SIGINT and SIGTERM as a wish to end, looked at by the main loop.
#pragma once

#include <csignal>

namespace app {

// While one of these lives, the two signals end nothing by themselves. They may be nested, such as a step inside the
// guide: a wish stands until the outermost is gone. All on one thread.
class StopSignal {
 public:
  StopSignal();
  ~StopSignal();
  StopSignal(const StopSignal&) = delete;
  StopSignal& operator=(const StopSignal&) = delete;

  bool received() const;

 private:
  struct sigaction old_int_ {};
  struct sigaction old_term_ {};
};

}  // namespace app
