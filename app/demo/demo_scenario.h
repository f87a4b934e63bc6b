// An invented order of five pieces, each with what makes it different: marked as a demonstration wherever it shows.
#pragma once

#include <filesystem>
#include <optional>
#include <string_view>
#include <vector>

#include "app/jobs/job.h"
#include "app/machine/machine.h"
#include "app/render/work_cycle.h"

namespace app {

struct DemoPiece {
  std::string_view key;  // for file names: "polo"
  Job job;
  PieceScript script;
};

// A polo with two stickers, stretched a little; a towel by its fold; an apron hooped askew; a napkin on the diagonal;
// a banner whose design does not fit.
const std::vector<DemoPiece>& demo_scenario();

// An invented machine: whole degrees clockwise, keys of 90, 10 and 1.
Machine demo_machine();

// Writes the jobs, their drawing and the machine beside the station file; what is there already under their names
// stays as it is. Throws calib::FileError.
void furnish_demo(const std::filesystem::path& station_file);

// The scenario's pieces, over and over, each with its ticket laid on the board first.
void play_demo(WorkCycle& work);

}  // namespace app
