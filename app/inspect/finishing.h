// What is done with a piece after stitching, and what to beware of; in the language of the screen.
#pragma once

#include <string>
#include <vector>

#include "app/guides/cloth_guide.h"
#include "app/jobs/job_store.h"
#include "app/records/piece_record.h"

namespace app {

// One line a step, for the stabilizer and topping that the piece's job or else its cloth asks for; where neither is
// known those of all of them.
std::vector<std::string> finishing_lines(const PieceRecord& piece, const JobList& jobs, const ClothGuide& guide);
std::vector<std::string> caution_lines();

}  // namespace app
