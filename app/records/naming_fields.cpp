#include "app/records/naming_fields.h"

namespace app {

std::string_view naming_kind_name(Naming::Kind kind) {
  switch (kind) {
    case Naming::Kind::rename:
      return "rename";
    case Naming::Kind::hide:
      break;
    case Naming::Kind::show:
      return "show";
  }
  return "hide";
}

std::optional<Naming::Kind> naming_kind_called(std::string_view name) {
  for (const Naming::Kind kind : {Naming::Kind::rename, Naming::Kind::hide, Naming::Kind::show})
    if (naming_kind_name(kind) == name) return kind;
  return std::nullopt;
}

}  // namespace app
