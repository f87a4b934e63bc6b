// The template: a design on paper at its true size, to be cut out, laid on the garment and marked through.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/design/design.h"
#include "app/sheets/page.h"
#include "vision/geometry.h"

namespace app {

// Where a sticker belongs: design frame, its arrow along the frame's y.
struct TemplateSticker {
  vision::Pose2 design_from_sticker;
  std::optional<int> number;
};

struct TemplateSheet {
  std::string name;  // the job's or the drawing's
  Design design;
  std::vector<TemplateSticker> stickers;
};

// As many pages as the design needs, upright or, where that takes fewer, turned by 90 degrees on the paper. Pages
// overlap by kTemplateOverlapMm; along the middle of it runs the line to cut on, with marks that meet.
// Throws SheetError.
Document template_sheets(Paper paper, const TemplateSheet& sheet);

inline constexpr double kTemplateOverlapMm = 12.0;

// How the pages lie over the design.
struct TemplateLayout {
  vision::Pose2 sheet_from_design;  // the sheet: all pages laid together, origin at its middle, mm
  int columns = 1, rows = 1;
  cv::Size2d part_mm;  // what a page shows
  // The middle of a page's part, sheet frame; row 0 is the upper one.
  cv::Point2d middle_mm(int column, int row) const;
};
TemplateLayout template_layout(Paper paper, const TemplateSheet& sheet);
// Where that middle lies on the page, page frame.
cv::Point2d template_place_mm(Paper paper);

}  // namespace app
