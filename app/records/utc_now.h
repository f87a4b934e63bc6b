// Now, as records have it.
#pragma once

#include <string>

namespace app {

// 2026-01-31T12:00:00Z
std::string utc_now();

}  // namespace app
