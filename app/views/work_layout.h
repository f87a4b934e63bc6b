// Where the parts of the work view lie, for any size of screen. Pure arithmetic.
#pragma once

#include <SDL.h>

#include <array>

#include "app/screen/theme.h"

namespace app {

// Height of the large digits, mm on a 10-inch screen: read from 1.5 m.
inline constexpr double kLargeDigits_mm = 25.0;

// px of the output. The parts do not overlap and lie inside the screen.
struct WorkLayout {
  Scale scale;
  bool landscape = true;
  SDL_FRect headline{};             // what to do now
  SDL_FRect large{}, small{};       // the live picture and the plan, either way round
  SDL_FRect facts{};                // how close, how sure, with which hoop
  SDL_FRect readout{};              // the rows, or the reason why there are no numbers
  std::array<SDL_FRect, 3> rows{};  // of the readout: right or left, away or toward, turn
  SDL_FRect caution{};              // a line
  SDL_FRect who{};                  // buttons: operator, job, menu
  SDL_FRect deeds{};                // buttons: what can be done with the reading
};

WorkLayout work_layout(int width_px, int height_px);

}  // namespace app
