#include "app/records/name_history.h"

#include <algorithm>
#include <tuple>
#include <utility>

namespace app {

NameHistory::NameHistory(std::vector<Naming> namings) : namings_(std::move(namings)) {
  std::sort(namings_.begin(), namings_.end(),
            [](const Naming& a, const Naming& b) { return std::tie(a.time_utc, a.id) < std::tie(b.time_utc, b.id); });
  for (const Naming& one : namings_) {
    if (one.kind == Naming::Kind::hide) hidden_.insert(one.name);
    if (one.kind == Naming::Kind::show) hidden_.erase(one.name);
    if (one.kind == Naming::Kind::rename && hidden_.erase(one.name) > 0) hidden_.insert(one.new_name);
  }
}

std::string NameHistory::now(std::string_view name, std::string_view time_utc) const {
  std::string out(name);
  if (out.empty()) return out;
  for (const Naming& one : namings_)
    if (one.kind == Naming::Kind::rename && one.time_utc >= time_utc && one.name == out) out = one.new_name;
  return out;
}

}  // namespace app
