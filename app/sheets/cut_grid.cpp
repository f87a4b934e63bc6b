#include "app/sheets/cut_grid.h"

#include <algorithm>
#include <cmath>

#include "app/sheets/pen.h"

namespace app {
namespace {

// How many pieces fit into this length; a hair's breadth of rounding does not count.
std::size_t fitting(double length_mm, double piece_mm, double pitch_mm) {
  return static_cast<std::size_t>(std::floor((length_mm - piece_mm) / pitch_mm + 1e-6)) + 1;
}

std::size_t columns(const CutGrid& grid) { return fitting(kColumnMm, grid.piece_mm.width, grid.pitch_mm.width); }

}  // namespace

std::size_t cut_count(Paper paper, const CutGrid& grid) {
  const double height = content_top_mm(paper) - content_bottom_mm(paper);
  return columns(grid) * fitting(height, grid.piece_mm.height, grid.pitch_mm.height);
}

cv::Point2d cut_centre_mm(Paper paper, const CutGrid& grid, std::size_t index) {
  const auto column = static_cast<double>(index % columns(grid)), row = static_cast<double>(index / columns(grid));
  return {-kColumnMm / 2.0 + grid.piece_mm.width / 2.0 + column * grid.pitch_mm.width,
          content_top_mm(paper) - grid.piece_mm.height / 2.0 - row * grid.pitch_mm.height};
}

std::vector<Page> cut_pages(Paper paper, const CutGrid& grid, std::size_t count, const CutText& text,
                            const std::function<void(Pen&, std::size_t)>& draw_piece) {
  std::vector<Page> pages;
  const std::size_t on_page = cut_count(paper, grid);
  const auto page_count = static_cast<int>((count + on_page - 1) / on_page);
  for (int number = 1; number <= page_count; ++number) {
    const std::size_t first = on_page * static_cast<std::size_t>(number - 1), end = std::min(count, first + on_page);
    const PageText page_text{text.title(first, end), text.purpose, text.small(first, end), number, page_count};
    pages.push_back({paper_size_mm(paper), [=](Pen& pen) {
                       draw_page_text(pen, paper, page_text);
                       for (std::size_t i = first; i < end; ++i) {
                         const Pen::Frame at_piece(pen, cut_centre_mm(paper, grid, i - first));
                         pen.outline({-grid.piece_mm.width / 2.0, -grid.piece_mm.height / 2.0, grid.piece_mm.width,
                                      grid.piece_mm.height});
                         draw_piece(pen, i);
                       }
                     }});
  }
  return pages;
}

}  // namespace app
