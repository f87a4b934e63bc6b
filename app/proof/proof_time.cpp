#include "app/proof/proof_time.h"

namespace app {

std::string utc_name(std::time_t time) {
  std::tm parts{};
  gmtime_r(&time, &parts);
  char text[40];
  std::strftime(text, sizeof text, "%Y-%m-%dT%H%M%S", &parts);
  return text;
}

}  // namespace app
