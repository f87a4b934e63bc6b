// The station's errors at each place of a proof, drawn.
#pragma once

#include <opencv2/core.hpp>

#include "app/sheets/pen.h"
#include "calib/proof.h"

namespace app {

// A panel a place, ten in a row at most: the sheet's outline, and at each sticker the error of the readings there as an
// arrow in the board's directions, the sheet's own error taken off. Below each the errors of rotation. The first row's
// top left; returns the y of what comes next.
double draw_proof_plot(Pen& pen, cv::Point2d top_left, double width_mm, const calib::Proof& proof);

}  // namespace app
