// The names of kept records: unique wherever they are made, and in the order of their making.
#pragma once

#include <cstdint>
#include <string>

namespace app {

// A UUID, version 7 of RFC 9562: a later one sorts behind all that this process made before, as text too, even when the
// clock is put back. Throws std::runtime_error where the system gives no random numbers.
std::string new_record_id();

// Which makes them. Not for several threads at once.
class RecordIds {
 public:
  // At so many milliseconds since 1970, UTC.
  std::string next(std::uint64_t now_ms);

 private:
  std::uint64_t last_ms_ = 0;
  unsigned counter_ = 0;
};

}  // namespace app
