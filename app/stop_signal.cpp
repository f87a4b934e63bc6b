#include "app/stop_signal.h"

namespace app {
namespace {

volatile std::sig_atomic_t stop_wished = 0;
int living = 0;

extern "C" void wish_to_stop(int) { stop_wished = 1; }

}  // namespace

StopSignal::StopSignal() {
  if (living++ == 0) stop_wished = 0;
  struct sigaction action {};
  action.sa_handler = wish_to_stop;
  sigemptyset(&action.sa_mask);
  sigaction(SIGINT, &action, &old_int_);
  sigaction(SIGTERM, &action, &old_term_);
}

StopSignal::~StopSignal() {
  --living;
  sigaction(SIGINT, &old_int_, nullptr);
  sigaction(SIGTERM, &old_term_, nullptr);
}

bool StopSignal::received() const { return stop_wished != 0; }

}  // namespace app
