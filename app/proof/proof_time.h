// A proof's time as it is written.
#pragma once

#include <ctime>
#include <string>

namespace app {

// UTC, as a part of a file's name: "2026-01-31T120000".
std::string utc_name(std::time_t time);

}  // namespace app
