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

  // An entry of a list: label at the left, below it `detail` in small lines, `note` in small letters at the right.
  bool row = false;
  std::string detail{}, note{};
  bool bad = false;         // has a notice sign
  float picture_px = 0.0F;  // kept free at the left, for a drawing of its owner's
};

// Lays the buttons side by side into `row`, equally wide, `gap` px apart; their height is the row's.
void place_in_row(std::span<Button> buttons, const SDL_FRect& row, float gap);
// As many as wanted in a column, each `height` px, from the top of `column`.
void place_in_column(std::span<Button> buttons, const SDL_FRect& column, float height, float gap);

// The buttons of one screen. Press: down and up inside the same one; sliding off it lets go. Keyboard: Tab, Shift-Tab
// and the arrows move the focus (shown only since a key was used), Enter and the space bar press. An arrow goes to the
// nearest button on its side; where there is none, to the next or the one before.
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
  // Also one that comes with the next set().
  void focus_on(int id) { focus_ = id; }
  // What is held down is let go of, unpressed.
  void let_go() { held_.reset(), over_ = false; }
  // Held down just now, and the pointer still on it.
  std::optional<int> pressed() const { return over_ ? held_ : std::nullopt; }

 private:
  const Button* find(std::optional<int> id) const;
  std::optional<int> key_pressed(const InputEvent& event);
  void move_focus(int steps);
  void move_focus(int dx, int dy);

  std::vector<Button> buttons_;
  std::optional<int> focus_, held_;
  bool over_ = false;
};

}  // namespace app
