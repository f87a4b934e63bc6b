// What became of operators' names.
#pragma once

#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "app/records/naming.h"

namespace app {

class NameHistory {
 public:
  NameHistory() = default;
  // In any order.
  explicit NameHistory(std::vector<Naming> namings);

  // What a name that was written down then is called now.
  std::string now(std::string_view name, std::string_view time_utc) const;
  // As it is called now.
  bool hidden(const std::string& name) const { return hidden_.contains(name); }
  bool empty() const { return namings_.empty(); }

 private:
  std::vector<Naming> namings_;  // in order
  std::set<std::string> hidden_;
};

}  // namespace app
