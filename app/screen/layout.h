// Where the parts of the measuring screen lie, for any size of screen. Pure arithmetic.
#pragma once

#include <SDL.h>

#include <array>

#include "app/screen/theme.h"

namespace app {

// px of the output. The parts do not overlap and lie inside the screen.
struct MeasureLayout {
  Scale scale;
  SDL_FRect picture{};              // the live picture
  SDL_FRect diagram{};              // the target, to scale
  SDL_FRect verdict{};              // in tolerance or not, how sure, what was seen
  SDL_FRect readout{};              // the rows, or the reason why there is no reading
  std::array<SDL_FRect, 3> rows{};  // of the readout: slide right or left, slide away or toward, turn
  SDL_FRect status{};               // caution, source, frame rate
};

MeasureLayout measure_layout(int width_px, int height_px);

// Height of the large digits, mm on a 10-inch screen: read from 1.5 m.
inline constexpr double kLargeDigits_mm = 25.0;

}  // namespace app
