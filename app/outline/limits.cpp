#include "app/outline/limits.h"

#include <malloc.h>
#include <signal.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/time.h>

#include "app/outline/wire.h"

namespace app {
namespace {

constexpr rlim_t kForLibraries = 40U << 20;  // what their code and tables take of kMostMemory
constexpr rlim_t kFiles = 64;

template <class Resource>
void limit(Resource resource, rlim_t most) {
  const rlimit both{most, most};
  // Where that is not allowed (a container's rules) the program that started it still watches its memory and time.
  static_cast<void>(::setrlimit(resource, &both));
}

}  // namespace

void limit_this_process(int processor_time_ms) {
  ::prctl(PR_SET_PDEATHSIG, SIGKILL);
  ::mallopt(M_ARENA_MAX, 1);  // others set a lot of address space aside
  limit(RLIMIT_CORE, 0);
  limit(RLIMIT_FSIZE, 0);
  limit(RLIMIT_NOFILE, kFiles);
  limit(RLIMIT_DATA, kMostMemory - kForLibraries);
  limit(RLIMIT_CPU, static_cast<rlim_t>(processor_time_ms / 1000 + 1));
  // Whole seconds are too coarse for the limit above: this one ends it by SIGPROF.
  const itimerval timer{{0, 0}, {processor_time_ms / 1000, processor_time_ms % 1000 * 1000}};
  ::setitimer(ITIMER_PROF, &timer, nullptr);
}

}  // namespace app
