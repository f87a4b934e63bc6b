// What a frame shows of a piece, in the words of the work cycle.
#pragma once

#include <optional>
#include <vector>

#include "vision/reading.h"

namespace app {

bool ring_alone(const vision::FrameResult& result);         // the ring, and no sticker within it
bool ring_with_sticker(const vision::FrameResult& result);  // both, the sticker within the ring
bool ring_and_sticker(const vision::FrameResult& result);   // and a reading of it
bool ring_hidden(const vision::FrameResult& result);        // as under a cloth: looked for in vain
// The frame says nothing about what lies on the board.
bool blind(vision::Status status);
// Where stickers are placed on the design in a group, any of the group stands for any other.
bool sees_sticker(const vision::FrameResult& result, int number);
// The number of the sticker that counts: that of the reading, else the only one, or the one among several that is
// wanted; of a group that is seen its first; -1: none.
int counted_sticker(const vision::FrameResult& result, const std::vector<int>& wanted);
// The numbers of a group that the reading is of; empty where the job has no group.
std::vector<int> used_stickers(const vision::FrameResult& result);
// The design's pose on the board, with or without a ring: that of the sticker that counts, or what the group says.
// Nothing where several count, or too little is seen of them.
std::optional<vision::Pose2> seen_design(const vision::FrameResult& result, const std::vector<int>& wanted);
// More than one, and not exactly one of them is named: one number alone picks its sticker, several do not. Beside a
// group others do not matter.
bool too_many_stickers(const vision::FrameResult& result, const std::vector<int>& wanted);
// Whether the ring lies over the paper of a sticker of which at least one tag is seen.
bool ring_over_paper(const vision::FrameResult& result);

}  // namespace app
