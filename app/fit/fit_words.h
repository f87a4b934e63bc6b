// Fit and advice in sentences of the screen. Directions are those of the machine's screen: the hoop's north is up.
#pragma once

#include <opencv2/core.hpp>
#include <string>

#include "app/fit/fit.h"
#include "app/fit/fit_advice.h"
#include "app/settings.h"

namespace app {

// "Fits, 8.0 mm to spare", "Sticks out 4.5 mm, top right", "Too near the edge by 0.8 mm".
std::string fit_line(const Fit& fit, Units units);
// "Fits 4.2 mm further left, 1.1 mm further down". Rounded up, so that what is said is enough.
std::string slide_line(cv::Point2d slide_mm, Units units);
// "Fits turned 2.3° clockwise". Rounded up as well.
std::string turn_line(double turn_deg);
// Both together: "Nearest: 1.2 mm right, 0.5 mm up, 0.8° clockwise". From `wanted`.
std::string nearest_line(const vision::Pose2& nearest, const vision::Pose2& wanted, Units units);
// What to do; empty where nothing is needed.
std::string advice_line(const FitAdvice& advice, Units units);

// The number beside the mark on the plan: the gap, or how much too far.
std::string gap_label(const Fit& fit, Units units);

}  // namespace app
