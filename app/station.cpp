#include "app/station.h"

#include <cstdio>

namespace app {

int run_station(const StationOptions&) {
  std::fputs("hoopgauge: this build has no screen\n", stderr);
  return 1;
}

int run_cameras() {
  std::fputs("hoopgauge: this build knows no cameras\n", stderr);
  return 1;
}

}  // namespace app
