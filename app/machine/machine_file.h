// A machine as the text of its file: what the store does, without the disk.
#pragma once

#include <string>
#include <string_view>

#include "app/machine/machine.h"

namespace app {

// `file` is the name that messages carry. Unknown keys, wrong types and values that no machine has throw
// calib::FileError. All but the name may be left out: then it is as in a fresh Machine.
Machine machine_from_text(std::string_view text, const std::string& file);

// All of it, with a word to each line; numbers read back as the same double. Nothing is checked here.
std::string text_of(const Machine& machine);

// The rotation's steps and keys are whole multiples of this.
inline constexpr double kFinestTurn_deg = 0.1;
// `deg` in finest turns where it is a whole number of them, else 0.
int finest_turns(double deg);

}  // namespace app
