// Figures in words: a caption, what is so, and a smaller line that says how sure it is.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "app/screen/canvas.h"
#include "app/screen/text.h"
#include "app/settings.h"
#include "app/views/records/records_seen.h"

namespace app {

struct Fact {
  std::string caption, value;
  std::string detail;  // may be empty
};

struct FactSizes {
  double caption_mm = 2.3, value_mm = 3.3, detail_mm = 2.3;
  double pitch_mm = 11.5;          // at most, line to line
  double caption_width_mm = 30.0;  // a quarter of the area where that is less
};

// One below the other from the top of the area, captions at the left; closer where they would not fit.
void draw_facts(Text& text, const Scale& scale, const SDL_FRect& area, std::span<const Fact> facts,
                const FactSizes& sizes = {});

// "0.4 mm right, 1.1 mm low", "0.4 mm right", "in the middle".
std::string offset_words(double x_mm, double y_mm, Units units);
// "0.3° clockwise", "straight".
std::string turn_words(double turn_deg);
// Of the board's page: how many, how often within, where the mean lies, how long it took.
std::vector<Fact> board_facts(const RecordsSeen& seen, Units units);

}  // namespace app
