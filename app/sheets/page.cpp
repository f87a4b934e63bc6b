#include "app/sheets/page.h"

namespace app {
namespace {

constexpr double kTopMm = 14.0, kFootMm = 13.0;  // from the paper's edges
constexpr double kEndStrokeMm = 0.3;

}  // namespace

void draw_scale_bar(Pen& pen, cv::Point2d left_bottom) {
  const cv::Point2d p = left_bottom;
  std::vector<cv::Rect2d> pieces{{p.x, p.y, kEndStrokeMm, kScaleBarHeightMm},
                                 {p.x + kScaleBarMm - kEndStrokeMm, p.y, kEndStrokeMm, kScaleBarHeightMm}};
  // Centimetres in turn black and open.
  for (int cm = 0; cm < 10; cm += 2) pieces.emplace_back(p.x + 10.0 * cm, p.y, 10.0, 1.0);
  pen.fill(pieces);
  pen.fill({{p.x, p.y, kScaleBarMm, 0.15}, {p.x, p.y + 0.85, kScaleBarMm, 0.15}});
  pen.text_centred(kSmallText, {p.x + kScaleBarMm / 2.0, p.y + 2.4}, "100 mm from outer edge to outer edge");
}

void draw_scale_advice(Pen& pen, cv::Point2d baseline, double width_mm) {
  const double y =
      pen.paragraph(kSmallText, baseline, "Print at 100 %, no \"fit to page\". Lay a ruler on the bar.", width_mm);
  pen.paragraph(kSmallText, {baseline.x, y - Pen::line_pitch(kSmallText)},
                "Not 100.0 mm? Type what it measures: hoopgauge print scale --bar MM", width_mm);
}

double content_top_mm(Paper paper) { return paper_size_mm(paper).height / 2.0 - 30.0; }

double content_bottom_mm(Paper paper) { return -paper_size_mm(paper).height / 2.0 + kFootMm + 11.5; }

void draw_page_text(Pen& pen, Paper paper, const PageText& text) {
  const double left = -kColumnMm / 2.0, right = kColumnMm / 2.0, half = paper_size_mm(paper).height / 2.0;
  const double title_y = half - kTopMm - kTitleText.height_mm;
  pen.text(kTitleText, {left, title_y}, text.title);
  if (text.of > 1)
    pen.text_right(kFaintText, {right, title_y}, std::to_string(text.number) + " of " + std::to_string(text.of));
  pen.text(kBodyText, {left, title_y - 6.0}, text.purpose);
  const double foot = -half + kFootMm;
  draw_scale_bar(pen, {left, foot});
  const double advice_left = left + kScaleBarMm + 8.0;
  draw_scale_advice(pen, {advice_left, foot + 3.0 * Pen::line_pitch(kSmallText)}, right - advice_left);
  pen.text(kFaintText, {left, foot + kScaleBarHeightMm + 2.4}, text.small);
}

}  // namespace app
