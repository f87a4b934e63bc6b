// The colours of a report, light and dark, and the looks that its drawings are made of.
#pragma once

#include <array>
#include <string>

#include "app/screen/theme.h"

namespace app {

struct ReportColour {
  const char* name;  // of the CSS property, without its dashes
  Colour light, dark;
};
// Text on `paper` or `panel` has a contrast of at least 4.5 : 1 (WCAG 2, level AA), which a test computes from here.
inline constexpr std::array kReportColours{
    ReportColour{"paper", {255, 255, 255}, {16, 22, 28}},   ReportColour{"panel", {243, 246, 248}, {25, 34, 43}},
    ReportColour{"ink", {23, 32, 41}, {238, 242, 245}},     ReportColour{"quiet", {78, 92, 105}, {172, 185, 197}},
    ReportColour{"rule", {208, 216, 222}, {52, 66, 79}},    ReportColour{"main", {22, 88, 158}, {125, 184, 255}},
    ReportColour{"band", {207, 224, 242}, {36, 62, 92}},    ReportColour{"good", {21, 110, 62}, {126, 226, 168}},
    ReportColour{"trouble", {168, 62, 8}, {255, 176, 122}}, ReportColour{"accent", {120, 40, 130}, {224, 160, 238}},
};

// `:root{--ink:#172029;...}` for the HTML page: light, dark where the reader's system is, light again on paper.
std::string colour_properties();
// The drawings' style: with var(--ink) for the page, or with the light colours themselves for paper.
std::string plot_style(bool light_colours_themselves);

}  // namespace app
