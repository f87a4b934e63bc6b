#include "app/sheets/template_sheets.h"

#include <algorithm>
#include <cmath>

#include "app/format.h"
#include "app/sheets/pen.h"
#include "app/sheets/sticker_geometry.h"
#include "app/units.h"

namespace app {
namespace {

constexpr double kAxisBeyondMm = 6.0;                 // of the design, on every side
constexpr double kArrowMm = 6.0, kArrowHalfMm = 2.0;  // the head of the arrow up
constexpr double kAroundMm = 2.0;                     // of all that is drawn
constexpr double kDrawnLineMm = 0.25, kAxisLineMm = 0.15, kInkGrey = 0.85;
constexpr double kJoinRadiusMm = 2.0, kJoinArmMm = 4.0, kDashMm = 2.0;
constexpr double kMostPages = 64;

const std::vector<std::vector<cv::Point2d>>& shape_of(const Design& design,
                                                      std::vector<std::vector<cv::Point2d>>& hull) {
  if (!design.outlines_mm.empty()) return design.outlines_mm;
  hull = {design.hull_mm};
  return hull;
}

std::vector<cv::Point2d> sticker_corners(const TemplateSticker& sticker) {
  const double half = kStickerSideMm / 2.0;
  std::vector<cv::Point2d> corners;
  for (const cv::Point2d p : {cv::Point2d(-half, -half), {half, -half}, {half, half}, {-half, half}})
    corners.push_back(vision::apply(sticker.design_from_sticker, p));
  return corners;
}

// All that is drawn, design frame.
cv::Rect2d reach(const TemplateSheet& sheet) {
  const cv::Size2d size = sheet.design.size_mm;
  const double x = size.width / 2.0 + kAxisBeyondMm, y = size.height / 2.0 + kAxisBeyondMm;
  cv::Point2d low(-x, -y), high(x, y + kArrowMm);
  for (const TemplateSticker& sticker : sheet.stickers)
    for (const cv::Point2d& p : sticker_corners(sticker)) {
      low = {std::min(low.x, p.x), std::min(low.y, p.y)};
      high = {std::max(high.x, p.x), std::max(high.y, p.y)};
    }
  const cv::Point2d around(kAroundMm, kAroundMm);
  return {low - around, high + around};
}

int parts(double length_mm, double part_mm) {
  if (length_mm <= part_mm) return 1;
  return static_cast<int>(std::ceil((length_mm - kTemplateOverlapMm) / (part_mm - kTemplateOverlapMm)));
}

void draw_axes(Pen& pen, const Design& design) {
  const double x = design.size_mm.width / 2.0 + kAxisBeyondMm, y = design.size_mm.height / 2.0 + kAxisBeyondMm;
  const double clear = kClearRadiusMm;
  pen.line({-x, 0.0}, {-clear, 0.0}, kAxisLineMm, 0.0);
  pen.line({clear, 0.0}, {x, 0.0}, kAxisLineMm, 0.0);
  pen.line({0.0, -y}, {0.0, -clear}, kAxisLineMm, 0.0);
  pen.line({0.0, clear}, {0.0, y}, kAxisLineMm, 0.0);
  pen.circle({0.0, 0.0}, kClearRadiusMm, kClearRingMm);
  pen.disc({0.0, 0.0}, kNeedleDotMm / 2.0);
  pen.fill({{{0.0, y + kArrowMm}, {-kArrowHalfMm, y}, {kArrowHalfMm, y}}});
  pen.text(kSmallText, {kArrowHalfMm + 1.0, y}, "up");
}

void draw_sticker_place(Pen& pen, const TemplateSticker& sticker) {
  const Pen::Frame at_sticker(pen, sticker.design_from_sticker);
  const double half = kStickerSideMm / 2.0, arm = 3.0, arrow = 3.0;
  const cv::Point2d corners[] = {{-half, -half}, {half, -half}, {half, half}, {-half, half}};
  for (int i = 0; i < 4; ++i) pen.dashes(corners[i], corners[(i + 1) % 4], 1.0, kAxisLineMm, 0.0);
  pen.line({-arm, 0.0}, {arm, 0.0}, kAxisLineMm, 0.0);
  pen.line({0.0, -arm}, {0.0, arm}, kAxisLineMm, 0.0);
  pen.fill({{{0.0, half - 1.0}, {-1.2, half - 1.0 - arrow}, {1.2, half - 1.0 - arrow}}});
  const std::string word = sticker.number ? "sticker " + std::to_string(*sticker.number) : "sticker";
  const double width = pen.width(kSmallText, word), y = -half + 1.2;
  pen.fill({{half - 2.0 - width, y - 0.6, width + 1.2, 2.9}}, 1.0);
  pen.text(kSmallText, {half - 1.4 - width, y}, word);
}

void draw_design(Pen& pen, const TemplateSheet& sheet) {
  std::vector<std::vector<cv::Point2d>> hull;
  const auto& shape = shape_of(sheet.design, hull);
  pen.fill(shape, kInkGrey);
  pen.outlines(shape, kDrawnLineMm, 0.0);
  const cv::Size2d size = sheet.design.size_mm;
  pen.outline({-size.width / 2.0, -size.height / 2.0, size.width, size.height});
  for (const TemplateSticker& sticker : sheet.stickers) draw_sticker_place(pen, sticker);
  draw_axes(pen, sheet.design);
}

void draw_join_mark(Pen& pen, cv::Point2d at, const std::string& name, cv::Point2d name_at) {
  pen.circle(at, kJoinRadiusMm, kHairMm);
  pen.line(at - cv::Point2d(kJoinArmMm, 0.0), at + cv::Point2d(kJoinArmMm, 0.0), kAxisLineMm, 0.0);
  pen.line(at - cv::Point2d(0.0, kJoinArmMm), at + cv::Point2d(0.0, kJoinArmMm), kAxisLineMm, 0.0);
  pen.text(kSmallText, at + name_at, name);
}

// The seam beside or below a page, which both of its pages draw: a dashed line and three marks with letters.
void draw_seam(Pen& pen, const TemplateLayout& layout, int seam, bool upright) {
  const cv::Size2d part = layout.part_mm;
  const cv::Point2d step(part.width - kTemplateOverlapMm, part.height - kTemplateOverlapMm);
  const cv::Point2d first = layout.middle_mm(0, 0);
  const int lines = upright ? layout.rows : layout.columns;
  const double along_first = upright ? first.y : first.x, sign = upright ? -1.0 : 1.0;
  const double at = upright ? first.x + (seam + 0.5) * step.x : first.y - (seam + 0.5) * step.y;
  const auto point = [&](double along) { return upright ? cv::Point2d(at, along) : cv::Point2d(along, at); };
  for (int line = 0; line < lines; ++line) {
    const double middle = along_first + sign * line * (upright ? step.y : step.x);
    const double half = (upright ? part.height : part.width) / 2.0;
    pen.dashes(point(middle - half), point(middle + half), kDashMm);
    for (int mark = -1; mark <= 1; ++mark) {
      const std::string name = format("%c%d", upright ? 'A' + seam : 'a' + seam, 3 * line + mark + 2);
      draw_join_mark(pen, point(middle - mark * sign * half * -0.7), name, {1.2, 1.0});
    }
  }
}

void draw_part(Pen& pen, Paper paper, const TemplateSheet& sheet, const TemplateLayout& layout, cv::Point2d middle) {
  const cv::Size2d part = layout.part_mm;
  const Pen::Frame at_part(pen, template_place_mm(paper));
  const Pen::Window window(pen, {-part.width / 2.0, -part.height / 2.0, part.width, part.height});
  const Pen::Frame at_sheet(pen, -middle);
  {
    const Pen::Frame at_design(pen, layout.sheet_from_design);
    draw_design(pen, sheet);
  }
  for (int seam = 0; seam + 1 < layout.columns; ++seam) draw_seam(pen, layout, seam, true);
  for (int seam = 0; seam + 1 < layout.rows; ++seam) draw_seam(pen, layout, seam, false);
}

PageText page_text(Pen& pen, const TemplateSheet& sheet, const TemplateLayout& layout, int column, int row) {
  PageText text;
  text.of = layout.columns * layout.rows;
  text.number = row * layout.columns + column + 1;
  text.title = pen.shortened(kTitleText, "Template: " + sheet.name, kColumnMm - 22.0);
  text.purpose = text.of == 1
                     ? "True size. Cut out, lay on the garment with the arrow up, and mark the centre through the dot."
                     : "True size. Cut along the dashed lines and lay the pages so that marks of one name meet.";
  const cv::Size2d size = sheet.design.size_mm;
  text.small = format("%.1f x %.1f mm, %.2f x %.2f in", size.width, size.height, size.width / kMmPerInch,
                      size.height / kMmPerInch);
  if (text.of > 1) text.small += format("; row %d, column %d", row + 1, column + 1);
  return text;
}

TemplateLayout laid_out(const cv::Rect2d& box, cv::Size2d part, bool turned) {
  TemplateLayout layout;
  const cv::Point2d middle = (box.tl() + box.br()) / 2.0;
  layout.part_mm = part;
  layout.columns = parts(turned ? box.height : box.width, part.width);
  layout.rows = parts(turned ? box.width : box.height, part.height);
  layout.sheet_from_design =
      turned ? vision::Pose2{{middle.y, -middle.x}, vision::kPi / 2.0} : vision::Pose2{-middle, 0.0};
  return layout;
}

}  // namespace

cv::Point2d TemplateLayout::middle_mm(int column, int row) const {
  const cv::Point2d step(part_mm.width - kTemplateOverlapMm, part_mm.height - kTemplateOverlapMm);
  return {(column - (columns - 1) / 2.0) * step.x, ((rows - 1) / 2.0 - row) * step.y};
}

cv::Point2d template_place_mm(Paper paper) { return {0.0, (content_top_mm(paper) + content_bottom_mm(paper)) / 2.0}; }

TemplateLayout template_layout(Paper paper, const TemplateSheet& sheet) {
  const cv::Size2d part(kColumnMm, content_top_mm(paper) - content_bottom_mm(paper));
  const cv::Rect2d box = reach(sheet);
  const TemplateLayout upright = laid_out(box, part, false), turned = laid_out(box, part, true);
  return turned.columns * turned.rows < upright.columns * upright.rows ? turned : upright;
}

Document template_sheets(Paper paper, const TemplateSheet& sheet) {
  const TemplateLayout layout = template_layout(paper, sheet);
  if (layout.columns * layout.rows > kMostPages)
    throw SheetError(format("the template needs %d pages; check the design's size, %.0f x %.0f mm",
                            layout.columns * layout.rows, sheet.design.size_mm.width, sheet.design.size_mm.height));
  Document document{"Template", {}};
  for (int row = 0; row < layout.rows; ++row)
    for (int column = 0; column < layout.columns; ++column)
      document.pages.push_back({paper_size_mm(paper), [=](Pen& pen) {
                                  draw_part(pen, paper, sheet, layout, layout.middle_mm(column, row));
                                  draw_page_text(pen, paper, page_text(pen, sheet, layout, column, row));
                                }});
  return document;
}

}  // namespace app
