// What a person read off a ruler, typed by steps: right, up, turn.
#pragma once

#include <vector>

#include "app/records/inspection.h"
#include "app/screen/button.h"
#include "app/settings.h"

namespace app {

class RulerEntry {
 public:
  static constexpr int kFirst = 600, kEnd = 660;  // the buttons' ids

  void clear() { found_ = {}; }
  // Found by the ruler, or by eye where nothing was typed; the piece is the caller's.
  Inspection found() const;
  // Three lines of steps about a caption with the value. The captions are drawn by draw_captions, over the buttons.
  std::vector<Button> placed(const SDL_FRect& area, const Scale& scale, Units units);
  void draw_captions(Canvas& canvas, Text& text, const Scale& scale, Units units) const;
  // Whether the button was one of these.
  bool press(int id, Units units);

 private:
  double& value(int line);
  std::string words(int line, Units units) const;

  Inspection found_;
  SDL_FRect captions_[3]{};
};

}  // namespace app
