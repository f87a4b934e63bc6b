// What is said of an operator's name in the records: that it is another now, or that it is not to be listed.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace app {

// Never changed once kept. Applies to what was kept up to its time; the last counts, by time and then by id.
struct Naming {
  enum class Kind {
    rename,  // `name` is called `new_name`
    hide,    // left out of lists and comparisons; its pieces still count in the shop's figures
    show,    // listed again
  };
  std::string id;        // unique, made when it is kept
  std::string time_utc;  // 2026-01-31T12:00:00Z
  Kind kind = Kind::rename;
  std::string name, new_name;  // new_name: of rename only
};

// As they stand on disk. Nothing for a name that this program does not know.
std::string_view naming_kind_name(Naming::Kind kind);
std::optional<Naming::Kind> naming_kind_called(std::string_view name);

}  // namespace app
