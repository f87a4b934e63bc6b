#include "app/records/naming.h"

#include <array>

namespace app {
namespace {

constexpr std::array<std::string_view, 3> kKinds{"rename", "hide", "show"};

}  // namespace

std::string_view naming_kind_name(Naming::Kind kind) { return kKinds[static_cast<std::size_t>(kind)]; }

std::optional<Naming::Kind> naming_kind_called(std::string_view name) {
  for (std::size_t i = 0; i < kKinds.size(); ++i)
    if (kKinds[i] == name) return static_cast<Naming::Kind>(i);
  return std::nullopt;
}

}  // namespace app
