// Whether the design fits and what to do about it, in a few lines beside the work.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/answer/answer.h"
#include "app/screen/text.h"
#include "app/settings.h"

namespace app {

struct FitLine {
  std::string words;
  bool bad = false;
};

// The fit, and what to do where it does not; no lines without an answer.
std::vector<FitLine> fit_lines(const std::optional<PieceAnswer>& answer, Units units);
// The ways to make it fit, for where there is more room; empty where it fits.
std::vector<std::string> way_lines(const PieceAnswer& answer, Units units);
// What to do about a design that does not fit, in one sentence.
std::string what_to_do(const PieceAnswer& answer, Units units);
// The ways in an area, from its top.
void draw_ways(Text& text, const Scale& scale, const SDL_FRect& area, const std::vector<std::string>& lines);

}  // namespace app
