// A list of entries that may be longer than its place: always whole lines, moved by two big buttons, by dragging and
// by keys.
#pragma once

#include <SDL.h>

#include <optional>
#include <string>
#include <vector>

#include "app/screen/button.h"
#include "app/screen/canvas.h"
#include "app/screen/text.h"

namespace app {

class TouchList {
 public:
  // The buttons up and down have these ids; the entries' own must be others.
  static constexpr int kUp = 990, kDown = 991;

  struct Shape {
    int columns = 1;         // entries side by side
    double line_mm = 15.0;   // least height of a line
    double widest_mm = 0.0;  // of a line; 0: the whole place
  };

  // Of the entries (in order, their areas empty) those that show, with their places, and the buttons up and down where
  // not all do. With every draw.
  std::vector<Button> placed(std::vector<Button> entries, const SDL_FRect& area, const Scale& scale, Shape shape);
  // The arrows on the buttons up and down, and which entries show: after the buttons were drawn.
  void draw_over(Canvas& canvas, Text& text, const Scale& scale) const;

  // As Buttons::handle, with what moves the list taken out.
  std::optional<int> handle(const InputEvent& event, Buttons& buttons);

  // Entries [first, end) show.
  int first() const { return line_ * columns_; }
  int end() const;
  void show(int entry);

 private:
  int lines() const { return (count_ + columns_ - 1) / columns_; }
  void move(int lines);
  bool drag(const InputEvent& event, Buttons& buttons);
  bool move_by_key(const InputEvent& event, Buttons& buttons);

  std::vector<int> ids_;  // of all entries
  SDL_FRect area_{};
  float pitch_px_ = 1.0F;
  int count_ = 0, columns_ = 1, visible_ = 1, line_ = 0;
  SDL_FRect up_{}, down_{};
  std::optional<float> held_y_;
  int held_line_ = 0;
  bool dragging_ = false;
};

}  // namespace app
