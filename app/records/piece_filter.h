// Which pieces are asked for.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

namespace app {

// All that is said must hold; names are those after corrections and renames, "" is a piece without one.
struct PieceFilter {
  std::optional<std::string> operator_name, job, garment, cloth, hoop, station, machine;
  std::optional<std::int64_t> since_s;  // seconds since 1970, UTC; the piece was lifted then or later
  std::optional<std::int64_t> until_s;  // and before then
  bool with_set_aside = false;          // also those that do not count
  bool operator==(const PieceFilter&) const = default;
};

}  // namespace app
