// Pieces of one size set side by side on as many pages as they need, each with its cut line.
#pragma once

#include <functional>

#include "app/sheets/page.h"

namespace app {

struct CutGrid {
  cv::Size2d piece_mm;
  cv::Size2d pitch_mm;  // from piece to piece; the same as piece_mm where they touch
};

// What the pages say; `title` and `small` are told which pieces, counted from 0, stand on the page.
struct CutText {
  std::function<std::string(std::size_t first, std::size_t end)> title;
  std::string purpose;
  std::function<std::string(std::size_t first, std::size_t end)> small;
};

// draw_piece: the pen's frame has its origin at the piece's centre.
std::vector<Page> cut_pages(Paper paper, const CutGrid& grid, std::size_t count, const CutText& text,
                            const std::function<void(Pen&, std::size_t)>& draw_piece);

// Where piece `index` of a page has its centre, page frame; and how many a page holds.
cv::Point2d cut_centre_mm(Paper paper, const CutGrid& grid, std::size_t index);
std::size_t cut_count(Paper paper, const CutGrid& grid);

}  // namespace app
