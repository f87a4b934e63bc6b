// A taught hoop in plain words.
#pragma once

#include <string>
#include <vector>

#include "vision/station.h"

namespace app {

std::string_view side_name(vision::Side side);      // "north", ...; English, the screen shows tr() of it
std::string north_words(const vision::Hoop& hoop);  // "by its notches", "by north mark 451", "by the fixture"
cv::Size2d opening_mm(const vision::Hoop& hoop);    // width and height of the inner outline
cv::Size2d outside_mm(const vision::Hoop& hoop);    // and of the outer one
// Name, field, opening, heights, north, notches: a line each.
std::vector<std::string> describe(const vision::Hoop& hoop);

}  // namespace app
