// The weeks as a drawing and as sentences.
#pragma once

#include <string>
#include <vector>

#include "app/screen/canvas.h"
#include "app/screen/text.h"
#include "app/settings.h"
#include "app/views/records/trend.h"

namespace app {

// Means with their intervals from left to right, to the scale of time; the tolerance, the chart's middle, and a ring
// with a number at each mean that completes a rule.
void draw_trend(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& area, const Trend& trend, TrendOf of,
                Units units);

const char* trend_name(TrendOf of);
// Whether it gets better; never more than the figures bear out.
std::string verdict_words(const Trend& trend, Units units);
// The rules that are broken, each with its number in the drawing; a sentence where none is, or there are too few means
// for a chart.
std::vector<std::string> signal_words(const TrendRow& row, bool days);

}  // namespace app
