// Pieces that nobody hooped, for the invented workshop.
#pragma once

#include <ctime>
#include <vector>

#include "app/records/piece_record.h"
#include "app/render/random.h"

namespace app {

// Of today's work on the first of the demo jobs' shirts.
PieceRecord demo_piece(int number, std::time_t time, Random& random);

// Ten weeks of work before today, some 600 pieces in the order of time, with ids. Operator A hoops better from week to
// week, and low on the small hoop; Operator B hoops evenly, a little to the right.
std::vector<PieceRecord> demo_past(std::time_t now);

}  // namespace app
