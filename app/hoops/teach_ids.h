// The buttons of the teach screen.
#pragma once

#include <optional>
#include <string>
#include <utility>

#include "app/hoops/name_entry.h"
#include "app/screen/button.h"

namespace app {

// Groups of steppers and the keyboard have numbers of their own after these.
enum class TeachId {
  next = 1,
  back,
  undo,
  unit,
  by_notches,
  by_mark,
  by_fixture,
  mark_less,
  mark_more,
  use_found,
  size_before,
  size_next,
  shift,
  space,
  erase,
};

inline Button teach_button(TeachId id, std::string label) {
  Button button;
  button.id = static_cast<int>(id);
  button.label = std::move(label);
  return button;
}

// A stepper has four buttons: down and up, coarse and fine.
struct NumberStep {
  bool height = true;  // the rim's or the field's height; else the cloth's or the field's width
  int steps = 1;
  bool coarse = false;
};
inline constexpr int kRimSteps = 100, kFieldSteps = 120, kKeys = 200;

inline int step_id(int group, const NumberStep& step) {
  return group + (step.height ? 4 : 0) + (step.coarse ? 2 : 0) + (step.steps > 0 ? 1 : 0);
}
inline std::optional<NumberStep> step_of(int group, int id) {
  const int i = id - group;
  if (i < 0 || i >= 8) return std::nullopt;
  return NumberStep{(i & 4) != 0, (i & 1) != 0 ? 1 : -1, (i & 2) != 0};
}
inline std::optional<NumberStep> rim_step(int id) { return step_of(kRimSteps, id); }
inline std::optional<NumberStep> field_step(int id) { return step_of(kFieldSteps, id); }

// Key `column` of row `row` of the keyboard.
inline int key_id(std::size_t row, std::size_t column) { return kKeys + static_cast<int>(10 * row + column); }
inline std::optional<std::string> key_letter(int id, bool capitals) {
  const auto rows = keyboard_rows(capitals);
  if (id < kKeys || id >= kKeys + static_cast<int>(10 * rows.size())) return std::nullopt;
  const auto i = static_cast<std::size_t>(id - kKeys);
  return i % 10 < rows[i / 10].size() ? std::optional(rows[i / 10][i % 10]) : std::nullopt;
}

}  // namespace app
