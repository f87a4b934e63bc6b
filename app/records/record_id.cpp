#include "app/records/record_id.h"

#include <systemd/sd-id128.h>

#include <array>
#include <chrono>
#include <mutex>
#include <stdexcept>

namespace app {
namespace {

constexpr unsigned kCounterEnd = 1u << 12;
constexpr unsigned kSeedMask = (1u << 11) - 1;  // half of its room is left to count

}  // namespace

// RFC 9562, section 6.2, method 1: the 12 bits behind the time count within a millisecond, from a random start; the 62
// last bits are random every time.
std::string RecordIds::next(std::uint64_t now_ms) {
  sd_id128_t id;
  if (sd_id128_randomize(&id) != 0) throw std::runtime_error("the system gives no random numbers");
  auto& byte = id.bytes;
  if (now_ms > last_ms_) {
    last_ms_ = now_ms;
    counter_ = (static_cast<unsigned>(byte[6]) << 8 | byte[7]) & kSeedMask;
  } else if (++counter_ == kCounterEnd) {
    ++last_ms_;
    counter_ = 0;
  }
  for (int i = 0; i < 6; ++i) byte[i] = static_cast<std::uint8_t>(last_ms_ >> (40 - 8 * i));
  byte[6] = static_cast<std::uint8_t>(0x70 | counter_ >> 8);
  byte[7] = static_cast<std::uint8_t>(counter_);
  byte[8] = static_cast<std::uint8_t>(0x80 | (byte[8] & 0x3F));
  std::array<char, SD_ID128_UUID_STRING_MAX> text{};
  return sd_id128_to_uuid_string(id, text.data());
}

std::string new_record_id() {
  static std::mutex mutex;
  static RecordIds ids;
  const auto now = std::chrono::system_clock::now().time_since_epoch();
  const std::scoped_lock lock(mutex);
  return ids.next(static_cast<std::uint64_t>(std::chrono::duration_cast<std::chrono::milliseconds>(now).count()));
}

}  // namespace app
