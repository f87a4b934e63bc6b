// A printed sheet of paper in a scene: held before the camera, or lying on the board.
#pragma once

#include <memory>
#include <opencv2/core.hpp>

namespace app {

// A printed page as an area of reflectance: 0 black ink to 255 paper.
struct PrintedPage {
  cv::Mat1b picture;       // upright
  double px_per_mm = 0.0;  // of the paper as it was printed
};

// Where a page is held or lies: board frame from page frame (mm, origin at the page's centre, x to its right, y to its
// top, z out of its face).
struct PagePlace {
  cv::Matx33d rotation = cv::Matx33d::eye();
  cv::Vec3d origin_mm{0.0, 0.0, 0.1};
};

struct ScenePage {
  std::shared_ptr<const PrintedPage> page;  // the picture must not change any more
  PagePlace place;
  cv::Rect2d cut_mm;  // what is left of the paper, page frame; empty: the whole page
};

// The paper's rectangle in the page frame, mm.
cv::Rect2d paper_mm(const ScenePage& page);
// Flat and as low as paper: it lies below the ring. Any other page is held above everything.
bool lies_on_board(const PagePlace& place);

}  // namespace app
