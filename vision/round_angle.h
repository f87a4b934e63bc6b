// The angle of a round ring, which only its notches give.
#pragma once

#include <opencv2/core.hpp>
#include <optional>

#include "vision/notches.h"
#include "vision/plane_view.h"
#include "vision/station.h"

namespace vision {

// The turn (rad, counter-clockwise) to be added to the angle of the view so that the taught pattern of notches lies on
// grooves of the rim. Where the pattern repeats after a part of a turn, any of its repeats. Nothing when no turn stands
// out: fewer than two notches are to be seen. Good to about half a millimetre along the rim; find_notch() then refines.
std::optional<double> round_angle(const cv::Mat& grey, const PlaneView& view, const Hoop& hoop);

}  // namespace vision
