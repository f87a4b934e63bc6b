// The plain page of set-up: what to do in large letters over the whole width, a main part, and a column with figures
// and buttons beside it (below it on a portrait screen).
#pragma once

#include <SDL.h>

#include <string>
#include <vector>

#include "app/screen/button.h"
#include "app/screen/canvas.h"
#include "app/screen/text.h"
#include "app/screen/theme.h"

namespace app {

// px of the output. The parts do not overlap and lie inside the screen.
struct PageLayout {
  Scale scale;
  SDL_FRect header{};
  SDL_FRect main{};
  SDL_FRect side{};       // figures; what the buttons leave of the column
  SDL_FRect buttons{};    // of `button_count` buttons
  bool column = true;     // the buttons stand one above the other; else side by side
  bool landscape = true;  // side stands beside main; else below it
};

enum class ButtonsIn {
  column,  // below the figures; side by side on a portrait screen
  row,     // along the lower edge
};

PageLayout page_layout(int width_px, int height_px, int button_count, ButtonsIn where = ButtonsIn::column);

// Lays the buttons into the page.
std::vector<Button> placed(std::vector<Button> buttons, const PageLayout& layout);

// The height of the headline's digits, mm on a 10-inch screen. At 1.5 m it is seen under 20 minutes of arc, at which
// letters are read with ease (from memory; ISO 9241-303 has such a figure).
inline constexpr double kHeadline_mm = 8.7;

enum class PageMood { plain, good, bad };

struct PageHeader {
  std::string title;                // small: where we are
  std::string right;                // small, at the right: what it runs on
  std::string headline;             // large
  std::string sentence;             // what to do
  PageMood mood = PageMood::plain;  // good has a tick beside the headline, bad a notice sign
};

void draw_header(Canvas& canvas, Text& text, const PageLayout& layout, const PageHeader& header);

}  // namespace app
