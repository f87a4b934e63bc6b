// Which of the ring's look-alike positions is the true one: where is north?
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "vision/geometry.h"
#include "vision/notches.h"
#include "vision/reading.h"
#include "vision/rim_model.h"
#include "vision/station.h"

namespace vision {

// The turns, 0 to n - 1 times 360/n degrees counter-clockwise, to be added to `board_from_hoop` so that its north is
// the hoop's north; nothing when the evidence does not single one out. n is the model's symmetry, 4 for a round ring
// (its notches stand a quarter turn apart).
//   taught:  the number of teeth of each notch that was found; one contradiction rules a position out.
//   mark:    the north mark among the tags, which must lie beyond two thirds of the way to the rim.
//   fixture: the position with north within 45 degrees of the board's y axis.
// `found` belongs to `board_from_hoop`, in the order of kSides.
std::optional<int> turns_to_north(const Hoop& hoop, const RimModel& model, const Pose2& board_from_hoop,
                                  const std::array<FoundNotch, 4>& found,
                                  const std::optional<cv::Point2d>& north_mark_in_board);

int positions(const RimModel& model);

}  // namespace vision
