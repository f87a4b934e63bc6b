// The sticker's pose on the board from another library's tag corners, by OpenCV's own pose and lens functions only:
// board pose by cv::solvePnP from the board marks, corners un-distorted by cv::undistortPoints, their rays cut with the
// cloth's taught height, and a rigid fit to the sticker's print. Nothing of this project's measuring takes part
// but the planar fit.
#pragma once

#include <optional>

#include "tests/bench/peer_tag.h"
#include "vision/geometry.h"
#include "vision/station.h"

namespace bench {

// Needs three board marks and two tags of the sticker, as the station itself does; nothing otherwise.
std::optional<vision::Pose2> sticker_on_board(const PeerTags& tags, const vision::Station& station,
                                              double cloth_height_mm, int sticker_number);

}  // namespace bench
