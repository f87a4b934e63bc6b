#include "app/records/inspection_fields.h"

#include <algorithm>
#include <array>

namespace app {
namespace {

// In the order of FoundBy and of Outcome.
constexpr std::array<std::string_view, kFoundByCount> kFoundBy{"sticker", "basting", "ruler", "eye"};
constexpr std::array<std::string_view, kOutcomeCount> kOutcomes{"good", "mend", "reject"};

template <typename Value, std::size_t count>
std::optional<Value> called(const std::array<std::string_view, count>& names, std::string_view name) {
  const auto found = std::find(names.begin(), names.end(), name);
  if (found == names.end()) return std::nullopt;
  return static_cast<Value>(found - names.begin());
}

}  // namespace

std::string_view found_by_name(FoundBy found_by) { return kFoundBy[static_cast<std::size_t>(found_by)]; }
std::optional<FoundBy> found_by_called(std::string_view name) { return called<FoundBy>(kFoundBy, name); }
std::string_view outcome_name(Outcome outcome) { return kOutcomes[static_cast<std::size_t>(outcome)]; }
std::optional<Outcome> outcome_called(std::string_view name) { return called<Outcome>(kOutcomes, name); }

}  // namespace app
