// The report of a proof on one page.
#pragma once

#include <opencv2/core.hpp>
#include <string>

#include "app/proof/proof_report.h"
#include "app/sheets/page.h"

namespace app {

// The verdict, the figures in words, the station's errors at each place as arrows, the terms, the sheet's own errors.
Page proof_page(const ProofReport& report, Paper paper);

// The page as a PDF, and for the screen: 8 bit BGR. Throw SheetError where the typeface is missing.
std::string proof_pdf(const ProofReport& report, Paper paper);
cv::Mat proof_picture(const ProofReport& report, double px_per_mm);

}  // namespace app
