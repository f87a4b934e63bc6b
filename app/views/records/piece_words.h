// One piece in words: a line of a list, and all that is known of it.
#pragma once

#include <ctime>
#include <string>
#include <vector>

#include "app/screen/canvas.h"
#include "app/screen/text.h"
#include "app/views/records/facts.h"
#include "app/views/records/records_seen.h"

namespace app {

// "within", "outside", "not counted".
const char* row_verdict(const PieceRow& row);
// How far off it sat, and when, of what. Without a name: a list is of one person or of the whole shop.
void draw_piece_line(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& area, const PieceRow& row,
                     const std::vector<std::string>& names, Units units);
// All that is known; what is not known has no line, and whose it was only where `named`.
std::vector<Fact> piece_facts(const OpenedPiece& piece, const std::vector<std::string>& names, bool named, Units units,
                              std::time_t now);

}  // namespace app
