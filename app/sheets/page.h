// A page to print, and what stands on every one of them: what it is, what it is for, and the bar that tells its scale.
#pragma once

#include <functional>
#include <opencv2/core.hpp>
#include <string>
#include <vector>

#include "app/sheets/paper.h"

namespace app {

class Pen;  // app/sheets/pen.h

struct Page {
  cv::Size2d size_mm;
  std::function<void(Pen&)> draw;
};

// A file's pages with what its readers are told it is.
struct Document {
  std::string title;
  std::vector<Page> pages;
};

// No printer of the office is asked to print nearer to the edge.
inline constexpr double kPageMarginMm = 10.0;
inline constexpr double kScaleBarMm = 100.0;

// The upright sheets share one column, centred on the page: what they hold is set flush with its sides.
inline constexpr double kColumnMm = 176.0;

struct PageText {
  std::string title;       // "Target stickers 0-19"
  std::string purpose;     // one line: what the sheet is for
  std::string small;       // tag numbers and sizes
  int number = 1, of = 1;  // of the page
};

// Title and purpose above, the bar and how to check it below.
void draw_page_text(Pen& pen, Paper paper, const PageText& text);
// Where the room between them begins and ends, mm from the page's centre upwards.
double content_top_mm(Paper paper);
double content_bottom_mm(Paper paper);

// The bar alone: its left end and its lower edge. A ruler is laid on its end strokes' outer edges, kScaleBarMm apart.
void draw_scale_bar(Pen& pen, cv::Point2d left_bottom);
inline constexpr double kScaleBarHeightMm = 5.0;

// How to check the scale; the left end of the last line's base line. Two lines of 105 mm where it is wide, else three
// of 65 mm.
void draw_scale_advice(Pen& pen, cv::Point2d last_baseline, bool wide);

}  // namespace app
