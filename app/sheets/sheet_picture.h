// A page as the printer would lay it down, in grey: what the renderer puts before the camera.
#pragma once

#include <opencv2/core.hpp>

#include "app/sheets/page.h"

namespace app {

// 0 ink to 255 paper, the page's centre in the picture's middle. Throws SheetError when the typeface is missing.
cv::Mat1b page_picture(const Page& page, double px_per_mm);

enum class SetupSheet { calibration, proof };
// The whole page, uncut, as `hoopgauge print` draws it: the calibration sheet landscape, the proof sheet upright, each
// with the origin of its own frame (calib/chart.h, calib/proof_sheet.h) in the picture's middle.
cv::Mat1b sheet_picture(SetupSheet sheet, Paper paper, double px_per_mm);

}  // namespace app
