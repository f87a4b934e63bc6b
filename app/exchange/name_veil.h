// People's names left out: everybody is "Operator 1", "Operator 2" ... instead, the same in one whole file.
#pragma once

#include <map>
#include <string>

#include "app/exchange/flat_piece.h"

namespace app {

class NameVeil {
 public:
  // Lifted, it gives the names as they are.
  explicit NameVeil(bool drawn) : drawn_(drawn) {}

  // In the order of their first asking, which says nothing of how they work. No name stays none.
  std::string of(const std::string& name) {
    if (!drawn_ || name.empty()) return name;
    const auto found = others_.try_emplace(name, "Operator " + std::to_string(others_.size() + 1));
    return found.first->second;
  }
  bool drawn() const { return drawn_; }

 private:
  bool drawn_;
  std::map<std::string, std::string> others_;
};

// The people of a piece, and what they wrote.
inline void veil(FlatPiece& flat, NameVeil& names) {
  if (!names.drawn()) return;
  flat.piece.operator_name = names.of(flat.piece.operator_name);
  if (!flat.inspection) return;
  flat.inspection->operator_name = names.of(flat.inspection->operator_name);
  flat.inspection->note.clear();
}

}  // namespace app
