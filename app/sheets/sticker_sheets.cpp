// Target stickers on plain paper and on labels.
#include <algorithm>
#include <cstdio>

#include "app/sheets/cut_grid.h"
#include "app/sheets/marks.h"
#include "app/sheets/number_list.h"
#include "app/sheets/sticker_geometry.h"
#include "app/sheets/tag_sheets.h"

namespace app {
namespace {

const CutGrid kStickerGrid{{kStickerSideMm, kStickerSideMm}, {kStickerSideMm, kStickerSideMm}};
constexpr const char* kPurpose =
    "Lay one on the cloth: the cross where the design's centre goes, the arrow to the design's top.";
constexpr const char* kLabelPurpose =
    "Print this page on plain paper first: against the light its corners must lie on the labels'.";
constexpr const char* kSmall = "Sticker n holds the tags 4n to 4n + 3, 36h11, black squares 12 mm";
constexpr double kRoundingMm = 1e-6;

std::vector<Page> plain_pages(Paper paper, const std::vector<int>& numbers) {
  const auto part = [numbers](std::size_t first, std::size_t end) {
    return std::vector<int>(numbers.begin() + static_cast<std::ptrdiff_t>(first),
                            numbers.begin() + static_cast<std::ptrdiff_t>(end));
  };
  const CutText text{
      [part](std::size_t first, std::size_t end) { return "Target stickers " + number_text(part(first, end)); },
      std::string(kPurpose) + " Cut on the lines.", [](std::size_t, std::size_t) { return std::string(kSmall); }};
  return cut_pages(paper, kStickerGrid, numbers.size(), text,
                   [numbers](Pen& pen, std::size_t i) { draw_sticker(pen, numbers[i]); });
}

// Centre of a label, page frame.
cv::Point2d label_centre_mm(const LabelGrid& labels, Paper paper, int index) {
  const cv::Size2d page = paper_size_mm(paper);
  const int column = index % labels.columns, row = index / labels.columns;
  return {labels.margin_mm.x + labels.label_mm.width / 2.0 + column * labels.pitch_mm.x - page.width / 2.0,
          page.height / 2.0 - labels.margin_mm.y - labels.label_mm.height / 2.0 - row * labels.pitch_mm.y};
}

// The corners of every label, to be held against a sheet of them.
void draw_label_corners(Pen& pen, const LabelGrid& labels, Paper paper) {
  constexpr double kArmMm = 4.0;
  for (int i = 0; i < labels.columns * labels.rows; ++i) {
    const cv::Point2d centre = label_centre_mm(labels, paper, i);
    for (const double x : {-1.0, 1.0}) {
      for (const double y : {-1.0, 1.0}) {
        const cv::Point2d corner = centre + cv::Point2d(x * labels.label_mm.width, y * labels.label_mm.height) / 2.0;
        pen.line(corner, corner - cv::Point2d(x * kArmMm, 0.0), 0.2, 0.0);
        pen.line(corner, corner - cv::Point2d(0.0, y * kArmMm), 0.2, 0.0);
      }
    }
  }
}

Page label_check_page(Paper paper, const std::vector<int>& numbers, const LabelGrid& labels) {
  return {paper_size_mm(paper), [=](Pen& pen) {
            draw_label_corners(pen, labels, paper);
            // No corner runs through the text.
            const double left = -kColumnMm / 2.0, half = paper_size_mm(paper).height / 2.0;
            pen.fill({{left, content_top_mm(paper), kColumnMm, 20.0}, {left, 10.0 - half, kColumnMm, 14.0}}, 1.0);
            draw_page_text(pen, paper, {"Labels for stickers " + number_text(numbers), kLabelPurpose, kSmall, 1, 1});
          }};
}

std::vector<Page> label_pages(Paper paper, const std::vector<int>& numbers, const LabelGrid& labels) {
  std::vector<Page> pages{label_check_page(paper, numbers, labels)};
  const auto on_page = static_cast<std::size_t>(labels.columns * labels.rows);
  std::size_t next = 0, place = static_cast<std::size_t>(labels.skip);
  while (next < numbers.size()) {
    const std::size_t count = std::min(numbers.size() - next, on_page - place);
    pages.push_back({paper_size_mm(paper), [=](Pen& pen) {
                       for (std::size_t i = 0; i < count; ++i) {
                         const Pen::Frame at_label(pen, label_centre_mm(labels, paper, static_cast<int>(place + i)));
                         draw_sticker(pen, numbers[next + i]);
                       }
                     }});
    next += count;
    place = 0;
  }
  return pages;
}

std::string size_text(double width, double height) {
  char text[64];
  std::snprintf(text, sizeof text, "%.1f x %.1f mm", width, height);
  return text;
}

}  // namespace

void check_labels(const LabelGrid& labels, Paper paper) {
  const cv::Size2d page = paper_size_mm(paper);
  if (labels.columns < 1 || labels.rows < 1) throw SheetError("a sheet of labels has at least one column and one row");
  if (!(labels.label_mm.width >= kStickerSideMm && labels.label_mm.height >= kStickerSideMm))
    throw SheetError("labels of " + size_text(labels.label_mm.width, labels.label_mm.height) +
                     " are smaller than the sticker, " + size_text(kStickerSideMm, kStickerSideMm) +
                     "; use larger ones, or plain paper");
  if (!(labels.columns == 1 || labels.pitch_mm.x >= labels.label_mm.width - kRoundingMm) ||
      !(labels.rows == 1 || labels.pitch_mm.y >= labels.label_mm.height - kRoundingMm))
    throw SheetError("the labels overlap: their pitch " + size_text(labels.pitch_mm.x, labels.pitch_mm.y) +
                     " is smaller than they are; the pitch runs from one label's edge to the next one's same edge");
  const double right = labels.margin_mm.x + (labels.columns - 1) * labels.pitch_mm.x + labels.label_mm.width;
  const double bottom = labels.margin_mm.y + (labels.rows - 1) * labels.pitch_mm.y + labels.label_mm.height;
  if (!(labels.margin_mm.x >= 0.0 && labels.margin_mm.y >= 0.0 && right <= page.width + kRoundingMm &&
        bottom <= page.height + kRoundingMm))
    throw SheetError("the labels reach to " + size_text(right, bottom) + " and leave " + paper_name(paper) + ", " +
                     size_text(page.width, page.height) + "; check columns, rows, margin and pitch");
  if (labels.skip < 0 || labels.skip >= labels.columns * labels.rows)
    throw SheetError("--label-skip leaves no label of the sheet's " + std::to_string(labels.columns * labels.rows) +
                     "; start a new sheet");
}

Document sticker_sheets(Paper paper, const std::vector<int>& numbers, const std::optional<LabelGrid>& labels) {
  if (labels) check_labels(*labels, paper);
  return {"Target stickers", labels ? label_pages(paper, numbers, *labels) : plain_pages(paper, numbers)};
}

Page single_sticker(int number) {
  return {{kStickerSideMm, kStickerSideMm}, [number](Pen& pen) { draw_sticker(pen, number); }};
}

}  // namespace app
