// The guide in words: for the screen's small lines, and as text where there is no screen.
#pragma once

#include <filesystem>
#include <iosfwd>
#include <string>
#include <vector>

#include "app/guide/stage_state.h"
#include "app/guide/stages.h"

namespace app {

// "Done: 6 marks", "To do", "By hand: nothing to run", ...
std::string state_words(const StageNow& now);
// The label of the button that starts it: "Start: Lens".
std::string start_words(const Stage& stage);
// As it is typed: "hoopgauge lens"; empty where nothing is run.
std::string command_words(const Stage& stage);

// All stages, wrapped at 100 characters.
void print_guide(const std::filesystem::path& station_file, const std::vector<StageNow>& states, std::ostream& out);

}  // namespace app
