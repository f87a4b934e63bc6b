// Pieces as hits on a dart board, to scale: the hoop's middle in the middle, the machine's right to the right, its top
// up, rings at round distances.
#pragma once

#include <SDL.h>

#include <span>

#include "app/figures/placement.h"
#include "app/records/piece_rows.h"
#include "app/screen/canvas.h"
#include "app/screen/text.h"
#include "app/settings.h"

namespace app {

struct DartBoardScale {
  SDL_FPoint middle{};
  float px_per_mm = 1.0F;
  double reach_mm = 1.0;      // of the outermost ring; what lies further off is drawn on it
  double tolerance_mm = 0.0;  // of the newest piece
  SDL_FPoint at(double x_mm, double y_mm) const {
    return {middle.x + px_per_mm * static_cast<float>(x_mm), middle.y - px_per_mm * static_cast<float>(y_mm)};
  }
};

// The largest board in the area that shows nearly all pieces, but no more than a few tolerances.
DartBoardScale dart_board_scale(const SDL_FRect& area, std::span<const PieceRow> pieces);

// The circle that holds 95 of 100 is only drawn, and spoken of, from so many pieces on.
inline constexpr std::size_t kPiecesForCircle = 10;
bool circle_shown(const PlacementFigures& figures);

// `pieces` in the order of time: the newest is ringed. `figures`: may be of more pieces; null draws no mean and no
// circle.
void draw_dart_board(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& area,
                     std::span<const PieceRow> pieces, const PlacementFigures* figures, Units units);

}  // namespace app
