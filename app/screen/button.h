// Plain touch buttons: hit by finger, mouse, key or keyboard focus. State is told by shape and words, not by colour
// alone.
#pragma once

#include <SDL.h>

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "app/screen/canvas.h"
#include "app/screen/input.h"
#include "app/screen/text.h"
#include "app/screen/theme.h"

namespace app {

// The least side of anything to be touched, mm on a 10-inch screen.
inline constexpr double kTouch_mm = 15.0;

struct Button {
  int id = 0;  // which one it is to its owner; unique within its group
  std::string label;
  SDL_FRect area{};       // px of the output
  bool enabled = true;    // drawn flat and quiet when not, and cannot be pressed
  bool selected = false;  // a choice that is on: outlined, with a tick
  bool main = false;      // what is most likely wanted next: light, with dark letters; Enter without focus presses it
  SDL_Keycode key = 0;    // presses it, too; 0 is none
};

// Lays the buttons side by side into `row`, equally wide, `gap` px apart; their height is the row's.
void place_in_row(std::span<Button> buttons, const SDL_FRect& row, float gap);
// As many as wanted in a column, each `height` px, from the top of `column`.
void place_in_column(std::span<Button> buttons, const SDL_FRect& column, float height, float gap);

// The buttons of one screen. Press: down and up inside the same one; sliding off it lets go. Keyboard: Tab, Shift-Tab
// and the arrows move the focus (shown only since a key was used), Enter and the space bar press.
class Buttons {
 public:
  // Anew with every draw: focus and what is held down stay with the ids.
  void set(std::vector<Button> buttons);
  const std::vector<Button>& all() const { return buttons_; }

  // The id of the button that this event pressed, if any.
  std::optional<int> handle(const InputEvent& event);
  void draw(Canvas& canvas, Text& text, const Scale& scale) const;

  // The enabled button under a point, px of the output.
  const Button* hit(SDL_FPoint at) const;
  std::optional<int> focus() const { return focus_; }
  // Held down just now, and the pointer still on it.
  std::optional<int> pressed() const { return over_ ? held_ : std::nullopt; }

 private:
  const Button* find(std::optional<int> id) const;
  std::optional<int> key_pressed(const InputEvent& event);
  void move_focus(int steps);

  std::vector<Button> buttons_;
  std::optional<int> focus_, held_;
  bool over_ = false;
};

}  // namespace app
