#include "app/records/utc_now.h"

#include <chrono>

#include "app/records/utc_time.h"

namespace app {

std::string utc_now() {
  const auto since_1970 = std::chrono::system_clock::now().time_since_epoch();
  return utc_text(std::chrono::duration_cast<std::chrono::seconds>(since_1970).count());
}

}  // namespace app
