// The picture of a lens's result: what the fit left at every corner, and which parts of the picture were covered.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "calib/lens_fit.h"

namespace app {

struct LensDrawing {
  const calib::LensFit& fit;
  // Measured corners of every picture of the fit, in the same order as the residuals.
  const std::vector<calib::LensPicture>& pictures;
  int columns = 5, rows = 3;  // parts of the picture in which the corners are counted
  double doubt_px = 0.0;      // calib::lens_doubt_px
};

// 1600 px wide, BGR: arrows as long as the residuals times the scale told below, each picture with a colour (that
// colour-blind people tell apart as well) and a sign of its own, named with its root mean square beside. Throws
// SheetError when the typeface is missing.
cv::Mat draw_lens(const LensDrawing& drawing);

}  // namespace app
