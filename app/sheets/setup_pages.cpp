#include "app/sheets/setup_pages.h"

#include "app/sheets/marks.h"
#include "calib/chart.h"
#include "calib/proof_sheet.h"

namespace app {
namespace {

// The pattern leaves strips of 17 mm above and below it, of which a printer takes ten.
void draw_calibration(Pen& pen) {
  const double left = -calib::kChartColumns * calib::kChartSquareMm / 2.0, right = -left;
  const double top = calib::kChartRows * calib::kChartSquareMm / 2.0;
  draw_chart(pen);
  PrintStyle title = kTitleText;
  title.height_mm = 3.4;
  const double title_width = pen.text(title, {left, top + 3.6}, "Calibration sheet");
  pen.text(kBodyText, {left + title_width + 5.0, top + 3.6},
           "Glue it to something flat and stiff. It shows the station its lens and its board.");
  pen.text_right(kFaintText, {right, top + 3.6}, "ChArUco 9 x 7, 25 mm, DICT_5X5_100");
  draw_scale_bar(pen, {left, -top - 7.4});
  // Higher by what hangs below a base line.
  draw_scale_advice(pen, {left + kScaleBarMm + 8.0, -top - 6.8}, true);
}

void draw_proof_page(Pen& pen, Paper paper) {
  draw_page_text(
      pen, paper,
      {"Proof sheet", "Shows how well the station measures. Cut it out along the thin line; keep it flat and clean.",
       "Stickers 95 to 99, tags 380 to 399", 1, 1});
  pen.outline({-calib::kProofCutWidthMm / 2.0, -calib::kProofCutHeightMm / 2.0, calib::kProofCutWidthMm,
               calib::kProofCutHeightMm});
  draw_proof(pen);
  pen.text_centred(kFaintText, {0.0, calib::kProofInnerHeightMm / 2.0 - 10.0}, "north");
}

}  // namespace

Page calibration_page(Paper paper) {
  const cv::Size2d upright = paper_size_mm(paper);
  return {{upright.height, upright.width}, draw_calibration};
}

Page proof_page(Paper paper) {
  return {paper_size_mm(paper), [paper](Pen& pen) { draw_proof_page(pen, paper); }};
}

}  // namespace app
