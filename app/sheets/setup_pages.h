// The two sheets that the station measures to know itself.
#pragma once

#include "app/sheets/page.h"

namespace app {

// Landscape; the chart frame's origin is the page's centre.
Page calibration_page(Paper paper);
// Upright; the sheet frame's origin is the page's centre.
Page proof_page(Paper paper);

}  // namespace app
