// Names that stand in many rows, each kept once.
#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace app {

class NameTable {
 public:
  NameTable() { index_of(""); }

  // Its place in names(), which is made where there is none. 0 is "".
  std::uint32_t index_of(std::string_view name) {
    if (const auto found = places_.find(name); found != places_.end()) return found->second;
    const auto place = static_cast<std::uint32_t>(names_.size());
    names_.emplace_back(name);
    places_.emplace(names_.back(), place);
    return place;
  }
  const std::vector<std::string>& names() const { return names_; }

 private:
  struct Hash {
    using is_transparent = void;
    std::size_t operator()(std::string_view text) const { return std::hash<std::string_view>()(text); }
  };
  std::vector<std::string> names_;
  std::unordered_map<std::string, std::uint32_t, Hash, std::equal_to<>> places_;
};

}  // namespace app
