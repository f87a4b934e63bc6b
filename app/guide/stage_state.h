// How far a station's set-up is, read from its files.
#pragma once

#include <ctime>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "app/guide/stages.h"

namespace app {

enum class StageState {
  to_do,
  by_hand,  // nothing in the files tells of it, and nothing that builds on it is done
  stale,    // was done, but has to be done again
  done,
};

// "to do", "by hand", "do it again", "done".
std::string_view word(StageState state);

struct StageNow {
  StageState state = StageState::to_do;
  std::string note;  // what is there, or what is wrong; may be empty
};

// In the order of stages(). Never throws for what the files hold: a damaged one is to do, and the note says why.
std::vector<StageNow> stage_states(const std::filesystem::path& station_file, std::time_t now = std::time(nullptr));

// The first stage that is not done; kStageCount when all are.
int first_open(const std::vector<StageNow>& states);

}  // namespace app
