// SIGINT and SIGTERM as a wish to end, looked at by the main loop.
#pragma once

#include <csignal>

namespace app {

// While one of these lives, the two signals end nothing by themselves. At most one at a time.
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
