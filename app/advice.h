// What to do next, in one sentence for the operator.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "vision/reading.h"

namespace app {

// English, for the command line as well; the screen shows tr() of it. ASCII, 90 characters at most, ends with a full
// stop. Never empty.
std::string_view advice(vision::Status status);
// The same in two to four words, for large letters.
std::string_view headline(vision::Status status);

// "Board mark 403 is not where it was surveyed: press it down, or survey the board again." In the screen's language,
// which is English on the command line; in English ASCII and 90 characters at most. `ids`: one or more.
std::string moved_marks_advice(const std::vector<int>& ids);
std::string marks_twice_advice(const std::vector<int>& ids);
// A camera that hangs elsewhere than when the board was surveyed; the readings are corrected for it.
std::string knock_advice(double way_mm, double turn_deg);
// All that a frame says of the board's marks, in one or two sentences; empty when they are in order. Not when the
// whole board moved: then advice(status) says it.
std::string board_marks_advice(const vision::FrameResult& result);

}  // namespace app
