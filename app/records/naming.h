// What is said of an operator's name in the records: that it is another now, or that it is not to be listed.
#pragma once

#include <string>

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

}  // namespace app
