#include "app/sheets/page.h"

#include "app/sheets/pen.h"

namespace app {
namespace {

constexpr double kTopMm = 14.0, kFootMm = 13.0;  // from the paper's edges
constexpr double kEndStrokeMm = 0.3;
constexpr double kBesideBarMm = 8.0;

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

void draw_scale_advice(Pen& pen, cv::Point2d last_baseline, bool wide) {
  const std::string print = "Print at 100 %, no \"fit to page\". Lay a ruler on the bar.";
  const std::string ask = "Not 100.0 mm? Type what it measures:", type = "hoopgauge print scale --bar MM";
  const std::vector<std::string> lines =
      wide ? std::vector{ask + ' ' + type, print} : std::vector{type, ask, print};  // from below
  for (std::size_t i = 0; i < lines.size(); ++i)
    pen.text(kSmallText, last_baseline + cv::Point2d(0.0, static_cast<double>(i) * Pen::line_pitch(kSmallText)),
             lines[i]);
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
  draw_scale_advice(pen, {left + kScaleBarMm + kBesideBarMm, foot}, false);
  pen.text(kFaintText, {left, foot + kScaleBarHeightMm + 2.4}, text.small);
}

}  // namespace app
