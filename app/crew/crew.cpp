#include "app/crew/crew.h"

#include <algorithm>

namespace app {

std::filesystem::path crew_file(const std::filesystem::path& station_file) {
  return station_file.parent_path() / "operators.toml";
}

Crew::Crew(std::filesystem::path file) : file_(std::move(file)) {}

const Operator* Crew::find(const std::string& name) const {
  const auto it = std::find_if(operators_.begin(), operators_.end(), [&](const Operator& o) { return o.name == name; });
  return it == operators_.end() ? nullptr : &*it;
}

const Operator* Crew::of_badge(int badge) const {
  const auto it =
      std::find_if(operators_.begin(), operators_.end(), [&](const Operator& o) { return o.badge == badge; });
  return it == operators_.end() ? nullptr : &*it;
}

void Crew::add(const Operator& one) { operators_.push_back(one); }
void Crew::rename(const std::string&, const std::string&) {}
void Crew::set_badge(const std::string&, std::optional<int>) {}
void Crew::remove(const std::string&) {}

}  // namespace app
