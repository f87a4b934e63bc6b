// Times as records have them, 2026-01-31T12:00:00Z, and as seconds since 1970, UTC.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace app {

// Nothing for what is no such time. RFC 3339 without fractions; the Z may be left out.
std::optional<std::int64_t> seconds_of_utc(std::string_view text);
std::string utc_text(std::int64_t seconds);

}  // namespace app
